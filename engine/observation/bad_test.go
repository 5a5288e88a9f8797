package observation_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/engine"
	"rootcue/engine/observation"
	"rootcue/engine/place"
	"rootcue/engine/rubric"
	"rootcue/rubrics"
)

var update = flag.Bool("update", false, "rewrite the goldens")

const badCases = "../../testdata/observations/bad"

func throwToSecond(t testing.TB) *rubric.Rubric {
	t.Helper()
	src, err := rubrics.Files.ReadFile("throw-to-second.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r, problems := rubric.Parse("throw-to-second.yaml", src, nil)
	if r == nil {
		t.Fatal(problems)
	}
	return r
}

// judge decodes a document and, if its form is right, assesses it.
func judge(r *rubric.Rubric, doc []byte) (*engine.Assessment, []place.Problem) {
	o, problems := observation.Decode(doc)
	if len(problems) > 0 {
		return nil, problems
	}
	return engine.Assess(engine.Request{Rubric: r, Observation: o})
}

// TestBadObservations: each bad document is refused with the text beside it,
// which tells what was found, what was wanted, and where.
func TestBadObservations(t *testing.T) {
	files, err := filepath.Glob(badCases + "/*.json")
	if err != nil || len(files) < 50 {
		t.Fatalf("%d cases, %v", len(files), err)
	}
	r := throwToSecond(t)
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".json"), func(t *testing.T) {
			doc, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			a, problems := judge(r, doc)
			if a != nil || len(problems) == 0 {
				t.Fatal("accepted")
			}
			golden(t, strings.TrimSuffix(file, ".json")+".txt", place.Render(problems, nil))
		})
	}
}

// golden holds got against a file.
func golden(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s (-want +got; -update rewrites it):\n%s", file, diff)
	}
}

// TestBracketsWithoutEnd: 2 MB of opening brackets are refused where a value
// could be, without running out of stack.
func TestBracketsWithoutEnd(t *testing.T) {
	const many = 2 << 20
	for _, c := range []struct{ name, lead, bracket string }{
		{"at the top", "", "["}, {"as an unknown key", `{"x": `, "["}, {"objects", `{"player": `, `{"a":`},
		{"as a measure", `{"reps": [{"rep": 1, "measures": {"exchange_time": `, "["}, {"as marks", `{"reps": [{"rep": 1, "marks": `, "["},
	} {
		_, problems := observation.Decode([]byte(c.lead + strings.Repeat(c.bracket, many/len(c.bracket))))
		if len(problems) == 0 || problems[len(problems)-1].Code != "not-json" {
			t.Errorf("%s: %v", c.name, problems)
		}
	}
}
