package rubric

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/engine/place"
)

var update = flag.Bool("update", false, "rewrite the goldens")

const cases = "../../testdata/rubrics"

// caseFiles lists the rubric files below folders of the cases.
func caseFiles(t testing.TB, folders ...string) []string {
	t.Helper()
	var files []string
	for _, folder := range folders {
		found, err := filepath.Glob(filepath.Join(cases, folder, "*.yaml"))
		if err != nil || len(found) == 0 {
			t.Fatalf("no cases in %s: %v", folder, err)
		}
		files = append(files, found...)
	}
	return files
}

// neighbours reads rubrics of a folder, as `extends` names them.
func neighbours(folder string) func(string) ([]byte, bool) {
	return func(name string) ([]byte, bool) {
		for _, dir := range []string{folder, filepath.Join(folder, "bases")} {
			if src, err := os.ReadFile(filepath.Join(dir, name+".yaml")); err == nil {
				return src, true
			}
		}
		return nil, false
	}
}

// parseFile parses one case and renders its problems.
func parseFile(t testing.TB, file string) (*Rubric, []place.Problem, string) {
	t.Helper()
	src := read(t, file)
	others := neighbours(filepath.Dir(file))
	r, problems := Parse(filepath.Base(file), src, others)
	return r, problems, place.Render(problems, func(name string) []byte {
		if name == filepath.Base(file) {
			return src
		}
		base, _ := others(strings.TrimSuffix(name, ".yaml"))
		return base
	})
}

func read(t testing.TB, file string) []byte {
	t.Helper()
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return src
}

// golden holds got against the file beside a case.
func golden(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if diff := cmp.Diff(string(read(t, file)), got); diff != "" {
		t.Errorf("%s (-want +got; -update rewrites it):\n%s", file, diff)
	}
}

// TestBadRubrics holds every message against the golden beside the file that
// is named after the slip.
func TestBadRubrics(t *testing.T) {
	for _, file := range caseFiles(t, "bad/text", "bad/form", "bad/meaning", "bad/extends") {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".yaml"), func(t *testing.T) {
			r, problems, got := parseFile(t, file)
			if r != nil || !place.Failed(problems) {
				t.Errorf("the rubric was taken, with %d problems", len(problems))
			}
			golden(t, strings.TrimSuffix(file, ".yaml")+".txt", got)
		})
	}
}

// TestGoodRubrics holds the warnings of usable rubrics against their goldens.
func TestGoodRubrics(t *testing.T) {
	for _, file := range caseFiles(t, "good") {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".yaml"), func(t *testing.T) {
			r, _, got := parseFile(t, file)
			if r == nil {
				t.Fatalf("the rubric was refused:\n%s", got)
			}
			golden(t, strings.TrimSuffix(file, ".yaml")+".txt", got)
		})
	}
}
