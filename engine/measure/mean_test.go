package measure_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestMean: u² = max(s²/n, Σu_k²/n²) for the independent part, the larger of
// external and internal consistency, plus the shared part: the rubric's u (0.02)
// times the share of reps that state none.
func TestMean(t *testing.T) {
	own := func(x, u float64) string { return fmt.Sprintf(`"height": {"value": %v, "u": %v}`, x, u) }
	for _, c := range []struct {
		name    string
		reps    []string
		x, u    float64
		from    string
		numbers int
	}{
		{"one by eye", []string{`"height": 0.3`}, 0.3, 0.02, "measures", 1},
		{"alike by eye: the eye never averages out", []string{`"height": 0.3`, `"height": 0.3`, `"height": 0.3`}, 0.3, 0.02, "measures", 3},
		{"spread by eye", []string{`"height": 0.28`, `"height": 0.30`, `"height": 0.32`}, 0.3, math.Sqrt(4e-4 + 4e-4/3), "measures", 3},
		{"one with u", []string{own(0.3, 0.03)}, 0.3, 0.03, "measures", 1},
		{"alike with u: internal consistency", []string{own(0.3, 0.03), own(0.3, 0.04)}, 0.3, 0.025, "measures", 2},
		{"spread with u: external consistency", []string{own(0.2, 0.03), own(0.4, 0.03)}, 0.3, 0.1, "measures", 2},
		{"spread without any u", []string{own(0.2, 0), own(0.4, 0)}, 0.3, 0.1, "measures", 2},
		{"spread with a u next to nothing", []string{own(0.2, 1e-160), own(0.4, 1e-160)}, 0.3, 0.1, "measures", 2},
		{"u of 0", []string{own(0.3, 0), own(0.3, 0)}, 0.3, 0, "measures", 2},
		{"mixed: a third by eye", []string{`"height": 0.3`, own(0.3, 0.03), own(0.3, 0.03)}, 0.3, math.Sqrt(0.02*0.02/9 + 2*0.03*0.03/9), "measures", 3},
		{"mixed and spread", []string{`"height": 0.1`, own(0.3, 0.03), own(0.5, 0.03)}, 0.3, math.Sqrt(0.02*0.02/9 + 0.04/3), "measures", 3},
		{"seen in some reps", []string{`"height": 0.3`, `"turn": 4`, `"height": null`}, 0.3, 0.02, "measures", 1},
		{"in cm", []string{`"height": {"value": 45, "u": 3, "unit": "cm"}`}, 0.3, 0.02, "measures", 1},
	} {
		m := mean(read(t, c.reps...), "height")
		if m.Reps != c.numbers || m.From != c.from {
			t.Errorf("%s: %d reps from %q", c.name, m.Reps, m.From)
		}
		within(t, c.name, m.Value.X, c.x)
		within(t, "u of "+c.name, m.Value.U(), c.u)
	}
}

// TestMeanOfYesNo: the share of yes and its standard deviation √(p(1−p)/n).
func TestMeanOfYesNo(t *testing.T) {
	m := mean(read(t, `"open": true`, `"open": false`, `"open": true`, `"open": true`), "open")
	if m.Yes != 3 || m.Reps != 4 {
		t.Errorf("%d of %d", m.Yes, m.Reps)
	}
	within(t, "share", m.Value.X, 0.75)
	within(t, "u", m.Value.U(), math.Sqrt(0.75*0.25/4))
}

func TestNothingSeen(t *testing.T) {
	s := read(t, `"turn": 3`)
	if m := mean(s, "height"); m.Reps != 0 || m.Value.U() != 0 || m.From != "" {
		t.Errorf("%+v", m)
	}
	if m := mean(readDocument(t, document(`"age": 12`, "")), "turn"); m.Reps != 0 {
		t.Errorf("without reps: %+v", m)
	}
}

// TestMeanPlainly holds random readings against the formula written out.
func TestMeanPlainly(outer *testing.T) {
	r := parse(outer, small)
	rapid.Check(outer, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "reps")
		var reps []string
		sum, squares, internal, eyes := 0.0, 0.0, 0.0, 0.0
		for range n {
			x := rapid.Float64Range(0.1, 0.9).Draw(t, "x")
			sum += x
			squares += x * x
			if rapid.Bool().Draw(t, "by eye") {
				eyes += 0.02
				reps = append(reps, fmt.Sprintf(`"measures": {"height": %v}`, x))
				continue
			}
			u := rapid.Float64Range(0, 0.2).Draw(t, "u")
			internal += u * u
			reps = append(reps, fmt.Sprintf(`"measures": {"height": {"value": %v, "u": %v}}`, x, u))
		}
		o := document(`"age": 12, "stature_cm": 150`, "", reps...)
		s, problems := tryRead(outer, r, o)
		if s == nil {
			t.Fatal(problems)
		}
		count := float64(n)
		independent := internal / count / count
		if n > 1 {
			independent = math.Max(independent, (squares-sum*sum/count)/(count-1)/count)
		}
		want := math.Sqrt(independent + eyes*eyes/count/count)
		if got := mean(s, "height").Value; math.Abs(got.X-sum/count) > 1e-9 || math.Abs(got.U()-want) > 1e-7 {
			t.Fatalf("%v ± %v, wanted %v ± %v", got.X, got.U(), sum/count, want)
		}
	})
}

// TestHeldRepsAreLeftOut: reps in which a fault was held take no part in means.
func TestHeldRepsAreLeftOut(t *testing.T) {
	s := readDocument(t, document(`"age": 12`, "", `"measures": {"turn": 10}`, `"held": ["high"], "measures": {"turn": 50}`, `"measures": {"turn": 12}`))
	if m := mean(s, "turn"); m.Reps != 2 || m.Value.X != 11 {
		t.Errorf("%+v", m)
	}
	if free := s.Free(); !free[0] || free[1] || !free[2] {
		t.Errorf("free reps %v", free)
	}
	if held := s.Reps[1].Held; len(held) != 1 || s.Rubric.Faults[held[0]].Name != "high" {
		t.Errorf("held %v", held)
	}
}

// TestDryAndLive: times from the catch are never pooled over dry and live reps;
// the majority's kind counts, live on a tie. Other measures pool.
func TestDryAndLive(t *testing.T) {
	rep := func(ball string, exchange float64) string {
		return fmt.Sprintf(`"conditions": {"ball": %q}, "measures": {"exchange_time": %v, "turn": 9}`, ball, exchange)
	}
	for _, c := range []struct {
		name     string
		reps     []string
		exchange float64
		counted  int
		note     bool
	}{
		{"all live", []string{rep("live", 1), rep("live", 2)}, 1.5, 2, false},
		{"all dry", []string{rep("dry", 1), rep("dry", 2)}, 1.5, 2, false},
		{"more dry", []string{rep("dry", 1), rep("live", 3), rep("dry", 2)}, 1.5, 2, true},
		{"more live", []string{rep("dry", 1), rep("live", 3), rep("live", 2)}, 2.5, 2, true},
		{"a tie", []string{rep("dry", 1), rep("live", 3)}, 3, 1, true},
		{"a dry rep that is not timed from the catch", []string{`"conditions": {"ball": "dry"}, "measures": {"turn": 9}`, rep("live", 3)}, 3, 1, false},
		{"a held rep has no say", []string{rep("dry", 1), `"held": ["high"], ` + rep("live", 3)}, 1, 1, false},
	} {
		s := readDocument(t, document(`"age": 12`, "", c.reps...))
		if m := mean(s, "exchange_time"); m.Value.X != c.exchange || m.Reps != c.counted {
			t.Errorf("%s: %v of %d reps, wanted %v of %d", c.name, m.Value.X, m.Reps, c.exchange, c.counted)
		}
		if hasNote(s, "dry-and-live-mixed") != c.note {
			t.Errorf("%s: notes %v", c.name, s.Notes)
		}
		free := 0
		for _, yes := range s.Free() {
			if yes {
				free++
			}
		}
		if pooled := mean(s, "turn").Reps; pooled != free {
			t.Errorf("%s: %d of %d turns are pooled", c.name, pooled, free)
		}
	}
}
