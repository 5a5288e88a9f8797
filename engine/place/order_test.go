package place

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestSort(t *testing.T) {
	want := []Problem{
		{File: "a", Line: 1, Column: 2}, {File: "a", Line: 2, Column: 1, Code: "a"}, {File: "a", Line: 2, Column: 1, Code: "b"},
		{File: "a", Line: 10, Column: 1}, {File: "b", Line: 1, Column: 1}, {File: "b", Line: 1, Column: 1, Pointer: "/x"},
	}
	got := []Problem{want[5], want[3], want[2], want[0], want[4], want[1]}
	Sort(got)
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func TestCap(t *testing.T) {
	list := func(errors, warnings int) []Problem {
		var ps []Problem
		for i := range warnings {
			ps = append(ps, Problem{Code: fmt.Sprint("w", i), Warning: true})
		}
		for i := range errors {
			ps = append(ps, Problem{Code: fmt.Sprint("e", i)})
		}
		return ps
	}
	tests := []struct {
		name             string
		errors, warnings int
		kept             int // errors left
		says             string
		warning          bool
	}{
		{"all fit", 30, 20, 30, "", false},
		{"warnings go first", 45, 20, 45, "15 more problems", true},
		{"errors go last", 70, 20, 50, "40 more problems", false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			all := list(tt.errors, tt.warnings)
			got := Cap(all)
			kept := 0
			for _, p := range got {
				if strings.HasPrefix(p.Code, "e") {
					kept++
				}
			}
			last := got[len(got)-1]
			if tt.says == "" {
				if len(got) != len(all) {
					t.Errorf("got %d problems of %d", len(got), len(all))
				}
			} else if last.Code != "more" || last.Found != tt.says || last.Warning != tt.warning || len(got) != Most+1 {
				t.Errorf("got %d problems, last %+v", len(got), last)
			}
			if kept != tt.kept {
				t.Errorf("got %d errors, want %d", kept, tt.kept)
			}
			if Failed(got) != (tt.errors > 0) {
				t.Errorf("Failed: got %v", Failed(got))
			}
		})
	}
}

func TestFailed(t *testing.T) {
	tests := []struct {
		problems []Problem
		want     bool
	}{{nil, false}, {[]Problem{{Warning: true}}, false}, {[]Problem{{Warning: true}, {}}, true}}
	for _, tt := range tests {
		if got := Failed(tt.problems); got != tt.want {
			t.Errorf("%v: got %v", tt.problems, got)
		}
	}
}
