package marks_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/engine/marks"
	"rootcue/engine/observation"
	"rootcue/engine/place"
	"rootcue/engine/quantity"
)

const testdata = "../../testdata/marks"

// problemsOf decodes an observation and derives its marks; a throw of 80 ft bases.
func problemsOf(t *testing.T, data []byte) []place.Problem {
	t.Helper()
	o, problems := observation.Decode(data)
	if len(problems) > 0 {
		return problems
	}
	var pool quantity.Pool
	in := marks.NewInputs(&pool)
	for i, rep := range o.Reps {
		set := marks.Setting{Throws: o.Player.Throws, Stature: quantity.Value{X: o.Player.StatureCM / 100}, DistanceM: 34.485}
		out, notes, found := marks.Derive(rep.Marks, set, in, fmt.Sprintf("/reps/%d/marks", i))
		if len(found) > 0 && (len(out) > 0 || len(notes) > 0) {
			t.Errorf("problems together with %d values and %d notes", len(out), len(notes))
		}
		problems = append(problems, found...)
	}
	return problems
}

// Each document of testdata/marks/bad has one slip, told as its .txt says.
func TestSlips(t *testing.T) {
	files, err := filepath.Glob(testdata + "/bad/*.json")
	if err != nil || len(files) == 0 {
		t.Fatalf("no bad marks: %v", err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			problems := problemsOf(t, data)
			if len(problems) == 0 {
				t.Fatal("no problem was found")
			}
			golden(t, strings.TrimSuffix(file, ".json")+".txt", place.Render(problems, nil))
		})
	}
}

func golden(t *testing.T, file, got string) {
	t.Helper()
	if *marks.Update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if len(got) > 2000 && string(want) != got {
		t.Errorf("%s is no longer what the test makes; -update writes it anew", file)
	} else if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("(-want +got, -update writes it anew):\n%s", diff)
	}
}
