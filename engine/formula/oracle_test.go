package formula

import (
	"math"
	"testing"

	"github.com/expr-lang/expr"
	"pgregory.net/rapid"
)

func TestAgreesWithTheModel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := &maker{t, true, true}
		e, p := m.draw(4)
		if p == nil {
			return
		}
		in := inputs(t, false)
		v, seen := p.Eval(in)
		want := e.eval(in)
		broken := math.IsNaN(v) || math.IsInf(v, 0)
		if seen == want.unseen || broken != want.broken || !broken && v != want.v {
			t.Fatalf("%s\n%+v\ngot %v %v, want %+v", e.text, in, v, seen, want)
		}
	})
}

// The machine of expr itself runs the same source.
func TestAgreesWithExpr(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := &maker{t, false, true}
		e, p := m.draw(4)
		if p == nil {
			return
		}
		in := inputs(t, true)
		want := float64Of(runExpr(t, e.text, in))
		if v, seen := p.Eval(in); !seen || v != want {
			t.Fatalf("%s\n%+v\ngot %v %v, expr yields %v", e.text, in, v, seen, want)
		}
	})
}

func runExpr(t *rapid.T, src string, in *Inputs) any {
	env := exprEnv(in)
	program, err := expr.Compile(src, expr.Env(env), expr.DisableAllBuiltins())
	if err != nil {
		t.Fatalf("%s: %v", src, err)
	}
	out, err := expr.Run(program, env)
	if err != nil {
		t.Fatalf("%s: %v", src, err)
	}
	return out
}

// exprEnv gives expr the inputs as it wants them.
func exprEnv(in *Inputs) map[string]any {
	env := map[string]any{"seen": func(any) bool { return true }}
	for name, f := range reference {
		env[name] = func(args ...any) float64 {
			var v []float64
			for _, a := range args {
				v = append(v, float64Of(a))
			}
			return f(v...)
		}
	}
	for i, n := range testEnv.Names {
		switch n.Kind {
		case Number:
			env[n.Name] = in.X[i]
		case Bool:
			env[n.Name] = in.X[i] == 1
		case Enum:
			env[n.Name] = n.Values[int(in.X[i])]
		}
	}
	return env
}

func float64Of(v any) float64 {
	switch v := v.(type) {
	case float64:
		return v
	case int:
		return float64(v)
	case bool:
		return boolResult(v).v
	}
	return math.NaN()
}

// Seeing more never changes what was already known, unless the expression asks
// what was seen.
func TestSeeingMoreChangesNothingKnown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := &maker{t, true, false}
		e, p := m.draw(4)
		if p == nil {
			return
		}
		in := inputs(t, false)
		before, seen := p.Eval(in)
		if !seen {
			return
		}
		in.Seen[rapid.IntRange(0, len(in.Seen)-1).Draw(t, "now seen")] = true
		after, seen := p.Eval(in)
		if !seen || after != before && !(math.IsNaN(after) && math.IsNaN(before)) {
			t.Fatalf("%s\n%+v\n%v became %v %v", e.text, in, before, after, seen)
		}
	})
}

// A value not seen has no effect, whatever stands in its slot, and no name but
// those in Reads has any.
func TestOnlyWhatIsReadAndSeenMatters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := &maker{t, true, true}
		e, p := m.draw(3)
		if p == nil {
			return
		}
		in := inputs(t, false)
		v, seen := p.Eval(in)
		read := map[int]bool{}
		for _, s := range p.Reads() {
			read[s] = true
		}
		for i := range in.X {
			if !read[i] {
				in.Seen[i] = !in.Seen[i]
			}
			if !read[i] || !in.Seen[i] {
				in.X[i] = math.NaN()
			}
		}
		if w, seen2 := p.Eval(in); seen != seen2 || v != w && !(math.IsNaN(v) && math.IsNaN(w)) {
			t.Fatalf("%s\n%+v\n%v %v became %v %v", e.text, in, v, seen, w, seen2)
		}
	})
}
