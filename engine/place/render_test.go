package place

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestRender(t *testing.T) {
	long := "key: [" + strings.Repeat("ab, ", 60) + "HERE" + strings.Repeat(", yz", 60) + "]"
	tests := []struct {
		name, src string
		p         Problem
		want      string
	}{
		{"line, caret and hint", "a: 1\nbb: °°x\n", Problem{Code: "c", File: "f", Line: 2, Column: 7, Found: "x", Wanted: "y", Hint: "do z"},
			"f:2:7: found x; wanted y [c]\n  2 | bb: °°x\n    |       ^\n  = do z\n"},
		{"warning", "a\n", Problem{Code: "c", File: "f", Line: 1, Column: 1, Found: "x", Wanted: "y", Warning: true},
			"f:1:1: warning: found x; wanted y [c]\n  1 | a\n    | ^\n"},
		{"a tab keeps its width", "\tab\n", Problem{Code: "c", File: "f", Line: 1, Column: 3, Found: "x"},
			"f:1:3: found x [c]\n  1 | \tab\n    | \t ^\n"},
		{"a column past the end", "ab", Problem{Code: "c", File: "f", Line: 1, Column: 9, Found: "x"},
			"f:1:9: found x [c]\n  1 | ab\n    |   ^\n"},
		{"control characters are not sent to the terminal", "a\x1bb", Problem{Code: "c", File: "f", Line: 1, Column: 2, Found: "x"},
			"f:1:2: found x [c]\n  1 | a·b\n    |  ^\n"},
		{"an empty line has no snippet", "\n\n", Problem{Code: "c", File: "f", Line: 2, Column: 1, Found: "x"}, "f:2:1: found x [c]\n"},
		{"JSON has a pointer", "", Problem{Code: "c", Pointer: "/reps/0", Found: "x", Wanted: "y"}, "/reps/0: found x; wanted y [c]\n"},
		{"no place at all", "", Problem{Code: "c", Found: "x"}, "found x [c]\n"},
		{"a long line is cut around the spot", long, Problem{Code: "c", File: "f", Line: 1, Column: strings.Index(long, "HERE") + 1, Found: "x"},
			"f:1:247: found x [c]\n  1 | …" + long[186:306] + "…\n    | " + strings.Repeat(" ", 61) + "^\n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := Render([]Problem{tt.p}, func(string) []byte { return []byte(tt.src) })
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// TestRenderFiles: each problem is shown in its own file; one that is not at
// hand is named only.
func TestRenderFiles(t *testing.T) {
	files := map[string]string{"a": "in a\n", "b": "in b\n"}
	got := Render([]Problem{{File: "a", Line: 1, Column: 1}, {File: "b", Line: 1, Column: 1}, {File: "gone", Line: 1, Column: 1}},
		func(file string) []byte { return []byte(files[file]) })
	for _, want := range []string{"| in a\n", "| in b\n", "gone:1:1:"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q lacks %q", got, want)
		}
	}
}
