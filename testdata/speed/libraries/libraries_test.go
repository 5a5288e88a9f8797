// Package libraries gives the forty rules of ../rules.json to general-purpose
// expression libraries: CEL (Apache-2.0), gval (BSD-3-Clause) and Starlark
// (BSD-3-Clause). It is a module of its own, so that nothing else needs them.
package libraries

import (
	"encoding/json"
	"math"
	"os"
	"regexp"
	"strings"
	"testing"
)

// A rule is one expression and what it comes to.
type rule struct {
	Src  string `json:"src"`
	Want any    `json:"want"`
}

type work struct {
	Inputs map[string]any `json:"inputs"`
	Rules  []rule         `json:"rules"`
}

func read(t testing.TB) (w work) {
	t.Helper()
	raw, err := os.ReadFile("../rules.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, &w); err != nil {
		t.Fatal(err)
	}
	return w
}

// library compiles a rule once and gives what evaluates it.
type library func(t testing.TB, w work, src string) func() any

var libraries = []struct {
	name    string
	compile library
}{{"cel", byCEL}, {"gval", byGval}, {"starlark", byStarlark}}

// TestSame: each library comes to the same, or comparing times would mean nothing.
func TestSame(t *testing.T) {
	w := read(t)
	for _, l := range libraries {
		for _, r := range w.Rules {
			got := l.compile(t, w, r.Src)()
			if x, ok := r.Want.(float64); ok {
				if y, ok := got.(float64); !ok || math.Abs(x-y) > 1e-12 {
					t.Errorf("%s: %s is %v, wanted %v", l.name, r.Src, got, x)
				}
			} else if got != r.Want {
				t.Errorf("%s: %s is %v, wanted %v", l.name, r.Src, got, r.Want)
			}
		}
	}
}

// BenchmarkRules runs all rules once an operation, compiled before.
func BenchmarkRules(b *testing.B) {
	w := read(b)
	for _, l := range libraries {
		b.Run(l.name, func(b *testing.B) {
			var programs []func() any
			for _, r := range w.Rules {
				programs = append(programs, l.compile(b, w, r.Src))
			}
			b.ReportAllocs()
			for b.Loop() {
				for _, run := range programs {
					run()
				}
			}
		})
	}
}

var (
	power   = regexp.MustCompile(`(\w+) \*\* (\w+)`)
	whole   = regexp.MustCompile(`(^|[^\w.])(\d+)($|[^\w.])`)
	ternary = regexp.MustCompile(`^(.*) \? (.*) : (.*)$`)
)

// wholesAsFloats writes 2 as 2.0, for a language that does not mix them.
func wholesAsFloats(src string) string {
	for whole.MatchString(src) {
		src = whole.ReplaceAllString(src, "$1$2.0$3")
	}
	return src
}

func clamp(x, lo, hi float64) float64 { return min(max(x, lo), hi) }

// inPython writes a rule as Python, and Starlark with it, has it.
func inPython(src string) string {
	src = power.ReplaceAllString(src, "pow($1, $2)")
	src = ternary.ReplaceAllString(src, "$2 if $1 else $3")
	// != is replaced by itself, so that its ! is no "not".
	return strings.NewReplacer("&&", "and", "||", "or", "!=", "!=", "!", "not ").Replace(src)
}
