package browsertest

import (
	"fmt"
	"os"
	"testing"
)

// axeFile is axe-core as published, with its licence beside it.
const axeFile = "testdata/axe/axe.min.js"

// violation is what axe-core says of one broken rule.
type violation struct {
	ID     string `json:"id"`
	Impact string `json:"impact"`
	Help   string `json:"help"`
	Nodes  []struct {
		HTML    string `json:"html"`
		Failure string `json:"failureSummary"`
	} `json:"nodes"`
}

// Axe lists what axe-core finds wrong with the page, by all its rules. It works
// out no selector for each element that is right: they take as long as the rules.
func (p *Page) Axe(t testing.TB) (found []string) {
	t.Helper()
	file, err := fromRoot(axeFile)
	if err != nil {
		t.Fatal(err)
	}
	source, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	Eval[string](t, p, string(source)+"\n;axe.version")
	answer := Eval[struct {
		Violations []violation `json:"violations"`
		Passes     int         `json:"passes"`
	}](t, p, `axe.run(document, {selectors: false}).then(r => ({violations: r.violations, passes: r.passes.length}))`)
	if answer.Passes == 0 {
		t.Fatal("axe-core looked at nothing")
	}
	for _, v := range answer.Violations {
		for _, n := range v.Nodes {
			found = append(found, fmt.Sprintf("%s (%s): %s\n  %s\n  %s", v.ID, v.Impact, v.Help, n.HTML, n.Failure))
		}
	}
	return found
}
