package rubric

import (
	"encoding/json"
	"path/filepath"
	"testing"

	"rootcue/engine/place"
)

// shipped lists the rubrics that come with the program.
func shipped(t testing.TB) []string {
	t.Helper()
	files, err := filepath.Glob("../../rubrics/*.yaml")
	if err != nil || len(files) < 3 {
		t.Fatalf("shipped rubrics: %v, %v", files, err)
	}
	return files
}

// TestShippedRubrics: they compile, and each number that is read off or timed
// says what is plausible.
func TestShippedRubrics(t *testing.T) {
	for _, file := range shipped(t) {
		t.Run(filepath.Base(file), func(t *testing.T) {
			r, problems, text := parseFile(t, file)
			if r == nil {
				t.Fatalf("refused:\n%s", text)
			}
			for _, p := range problems {
				if p.Code != "unused-measure" { // what is shown but not judged
					t.Errorf("warning: %s", p.Summary())
				}
			}
			if r.Name+".yaml" != filepath.Base(file) {
				t.Errorf("the file holds the rubric %s", r.Name)
			}
			for _, m := range r.Measures {
				if m.Kind == Quantity && m.Formula == nil && !m.BuiltIn && !m.HasRange {
					t.Errorf("%s says nothing about what is plausible", m.Name)
				}
			}
			if len(r.Examples) == 0 {
				t.Error("no examples")
			}
			for _, e := range r.Examples {
				if !json.Valid(e.Given) {
					t.Errorf("example %s: %s", e.Name, e.Given)
				}
			}
		})
	}
}

// BenchmarkParse measures compiling the largest shipped rubric.
func BenchmarkParse(b *testing.B) {
	file := "../../rubrics/throw-to-second.yaml"
	src := read(b, file)
	b.SetBytes(int64(len(src)))
	b.ReportAllocs()
	for b.Loop() {
		if r, problems := Parse(file, src, nil); r == nil {
			b.Fatal(place.Render(problems, func(string) []byte { return src }))
		}
	}
}

// FuzzParse: whatever the bytes, Parse ends without a panic, gives a rubric or
// a reason, and places every problem inside the file.
func FuzzParse(f *testing.F) {
	for _, file := range append(caseFiles(f, "good", "bad/text", "bad/form", "bad/meaning"), shipped(f)...) {
		f.Add(read(f, file))
	}
	others := neighbours("../../rubrics")
	f.Fuzz(func(t *testing.T, src []byte) {
		r, problems := Parse("fuzz.yaml", src, others)
		if (r == nil) != place.Failed(problems) {
			t.Fatalf("rubric %v with %d problems", r != nil, len(problems))
		}
		lines := place.NewLines(src)
		for _, p := range problems {
			if p.Code == "" || p.Found == "" || p.Wanted == "" {
				t.Errorf("says too little: %+v", p)
			}
			if p.File == "fuzz.yaml" && p.Code != "more" && (p.Line < 1 || p.Column < 1 || p.Line > 1 && lines.Offset(p.Line, 1) > len(src)) {
				t.Errorf("outside the file: %+v", p)
			}
		}
		place.Render(problems, func(string) []byte { return src })
	})
}
