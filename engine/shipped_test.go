package engine_test

import (
	"io/fs"
	"slices"
	"strings"
	"testing"

	"rootcue/engine"
	"rootcue/engine/place"
	"rootcue/rubrics"
)

func shipped(name string) ([]byte, bool) {
	b, err := rubrics.Files.ReadFile(name + ".yaml")
	return b, err == nil
}

// TestShippedRubrics checks each file that comes with the program: no problem,
// all examples hold, no band is left untried, and the only warnings are for
// measures that are shown and not judged.
func TestShippedRubrics(t *testing.T) {
	files, err := fs.Glob(rubrics.Files, "*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no shipped rubrics: %v", err)
	}
	for _, file := range files {
		t.Run(file, func(t *testing.T) {
			src, _ := shipped(strings.TrimSuffix(file, ".yaml"))
			_, reach, problems := engine.CheckRubric(file, src, shipped)
			problems = slices.DeleteFunc(problems, func(p place.Problem) bool { return p.Code == "unused-measure" })
			if len(problems) > 0 {
				t.Error(place.Render(problems, func(string) []byte { return src }))
			}
			if !strings.HasPrefix(string(src), "extends") && len(reach.Bands) > 0 {
				t.Errorf("untried bands %v", reach.Bands)
			}
		})
	}
}
