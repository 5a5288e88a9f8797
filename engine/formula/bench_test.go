package formula

import (
	"math"
	"testing"
	"time"

	"github.com/expr-lang/expr"
	"github.com/expr-lang/expr/vm"
)

// allSeen are inputs of a plausible throw.
var allSeen = map[int]float64{strideLength: 0.6, stature: 1.5, hipHeight: 0.4, handSpeed: 2.5, handProtected: 1, mayLead: 0, ball: 0, pitch: 3}

// BenchmarkRules runs forty rules three ways in turn: as compiled here, as
// written by hand in Go, and in expr's machine. The figures are ns for all forty
// and the two ratios, each from the quickest turn: whatever else the machine
// does only adds.
func BenchmarkRules(b *testing.B) {
	in := given(allSeen)
	env := fastEnv(in)
	ours, theirs := compiled(b), compiledByExpr(b, env)
	var machine vm.VM
	turns := []struct {
		name string
		run  func()
		best time.Duration
	}{
		{"ours-ns", func() {
			for _, p := range ours {
				sink, sunk = p.Eval(in)
			}
		}, time.Hour},
		{"hand-ns", func() {
			for i := range rules {
				sink, sunk = rules[i].hand(in)
			}
		}, time.Hour},
		{"expr-ns", func() {
			for _, p := range theirs {
				out, _ = machine.Run(p, env)
			}
		}, time.Hour},
	}
	const rounds = 100
	for b.Loop() {
		for i := range turns {
			start := time.Now()
			for range rounds {
				turns[i].run()
			}
			turns[i].best = min(turns[i].best, time.Since(start))
		}
	}
	for _, t := range turns {
		b.ReportMetric(float64(t.best)/rounds, t.name)
	}
	b.ReportMetric(float64(turns[0].best)/float64(turns[1].best), "ours/hand")
	b.ReportMetric(float64(turns[2].best)/float64(turns[0].best), "expr/ours")
}

func compiled(b *testing.B) []*Program {
	var programs []*Program
	for _, r := range rules {
		p, issues := Compile(r.src, r.kind, testEnv)
		if issues != nil {
			b.Fatalf("%s: %+v", r.src, issues)
		}
		programs = append(programs, p)
	}
	return programs
}

// fastEnv leaves expr its own min, max and abs, and gives it the others with
// types, which is quicker than what the comparison of results uses.
func fastEnv(in *Inputs) map[string]any {
	env := exprEnv(in)
	for _, name := range []string{"min", "max", "abs", "seen"} {
		delete(env, name)
	}
	env["sqrt"] = math.Sqrt
	env["clamp"] = func(x, lo, hi float64) float64 { return min(max(x, lo), hi) }
	return env
}

func compiledByExpr(b *testing.B, env map[string]any) []*vm.Program {
	var programs []*vm.Program
	for _, r := range rules {
		p, err := expr.Compile(r.src, expr.Env(env))
		if err != nil {
			b.Fatal(err)
		}
		programs = append(programs, p)
	}
	return programs
}

// BenchmarkEval runs the forty alone, for allocations and profiles.
func BenchmarkEval(b *testing.B) {
	in, ours := given(allSeen), compiled(b)
	b.ReportAllocs()
	for b.Loop() {
		for _, p := range ours {
			sink, sunk = p.Eval(in)
		}
	}
}

func BenchmarkCompile(b *testing.B) {
	for b.Loop() {
		Compile("max(0, 0.5 - stride_length) * stature / hand_speed", Number, testEnv)
	}
}

var (
	sink float64
	sunk bool
	out  any
)

// The rules yield the same by hand as compiled, with all seen and with any one
// name not seen.
func TestRulesByHand(t *testing.T) {
	for _, r := range rules {
		p, issues := Compile(r.src, r.kind, testEnv)
		if issues != nil {
			t.Errorf("%s: %+v", r.src, issues)
			continue
		}
		for hidden := -1; hidden < len(testEnv.Names); hidden++ {
			in := given(allSeen)
			if hidden >= 0 {
				in.Seen[hidden] = false
			}
			v, seen := p.Eval(in)
			w, seen2 := r.hand(in)
			if v != w || seen != seen2 {
				t.Errorf("%s without %d: %v %v, by hand %v %v", r.src, hidden, v, seen, w, seen2)
			}
		}
	}
}
