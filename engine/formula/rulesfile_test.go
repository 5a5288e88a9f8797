package formula

import (
	"bytes"
	"encoding/json"
	"os"
	"slices"
	"testing"
)

// rulesFile holds the rules, some inputs and the results, so that libraries
// that are no part of this module can be given the same work.
const rulesFile = "../../testdata/speed/rules.json"

type ruleOnFile struct {
	Src  string `json:"src"`
	Want any    `json:"want"`
}

// TestRulesFile holds the file against the rules; -update writes it.
func TestRulesFile(t *testing.T) {
	in := given(allSeen)
	file := struct {
		Inputs map[string]any `json:"inputs"`
		Rules  []ruleOnFile   `json:"rules"`
	}{Inputs: map[string]any{}}
	for slot, n := range testEnv.Names {
		switch x := in.X[slot]; n.Kind {
		case Bool:
			file.Inputs[n.Name] = x != 0
		case Enum:
			file.Inputs[n.Name] = n.Values[int(x)]
		default:
			file.Inputs[n.Name] = x
		}
	}
	for i := range rules {
		x, seen := rules[i].hand(in)
		if !seen {
			t.Fatalf("%s is not seen", rules[i].src)
		}
		want := any(x)
		if rules[i].kind == Bool {
			want = x != 0
		}
		file.Rules = append(file.Rules, ruleOnFile{rules[i].src, want})
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "\t")
	if err := e.Encode(file); err != nil {
		t.Fatal(err)
	}
	text := b.Bytes()
	if *update {
		if err := os.WriteFile(rulesFile, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	found, err := os.ReadFile(rulesFile)
	if err != nil || !slices.Equal(found, text) {
		t.Errorf("%s is not of these rules; -update writes it (%v)", rulesFile, err)
	}
}
