package cause

import (
	"testing"
)

// sureChain is 0 → 1 → 2 and 3 → 2, no background but at the roots, all present:
// 2 is split between 1 and 3, all of 1 goes to 0. Strengths 1 make each split of
// 2 exactly one half.
func sureChain(t *testing.T) *Work {
	t.Helper()
	ev := unseen(4)
	ev.Hard = []int8{1, 1, 1, 1}
	return mustInfer(t, Spec{
		Background: []float64{0.5, 0, 0, 0.5},
		Links:      []Link{{0, 1, 1}, {1, 2, 1}, {3, 2, 1}},
	}, ev)
}

func TestCreditByHand(t *testing.T) {
	w := sureChain(t)
	recovers, carries := []float64{9, 9, 9, 9}, []float64{9, 9, 9} // overwritten
	w.Credit([]float64{0.1, 0.2, 0.4, 0}, recovers, carries)
	for i, want := range []float64{0.1 + 0.2 + 0.2, 0, 0, 0.2} {
		near(t, "recovers", recovers[i], want, 1e-12)
	}
	for e, want := range []float64{0.2 + 0.2, 0.2, 0.2} {
		near(t, "carries", carries[e], want, 1e-12)
	}
	row := []float64{9, 9, 9, 9}
	w.CreditRow(0, row)
	for i, want := range []float64{1, 1, 0.5, 0} {
		near(t, "row of node 0", row[i], want, 1e-12)
	}
}

func TestGainByHand(t *testing.T) {
	w := sureChain(t)
	parts := []float64{0.1, 0.2, 0.4, 0}
	for _, c := range []struct {
		name  string
		fixed []bool
		want  float64
	}{
		{"nothing fixed", []bool{false, false, false, false}, 0},
		{"the root", []bool{true, false, false, false}, 0.5},
		{"halfway, its own part and what comes up", []bool{false, true, false, false}, 0.4},
		{"both: the root's own part besides", []bool{true, true, false, false}, 0.5},
		{"the last effect alone", []bool{false, false, true, false}, 0.4},
		{"all", []bool{true, true, true, true}, 0.7},
	} {
		near(t, c.name, w.Gain(parts, c.fixed), c.want, 1e-12)
	}
}

// Over directions: weight 0.65 on 0 → 1. Both present for sure, no background
// but where the network needs one; background 0.5 and strength 1: patterns that
// fire are link alone and both, a half each, so the cause's share is 3/4.
func TestCreditAveragesOverDirections(t *testing.T) {
	ev := unseen(2)
	ev.Hard = []int8{1, 1}
	w := mustInfer(t, Spec{
		Background: []float64{0.5, 0.5},
		Pairs:      []Pair{{0, 1, 0.65, 1}},
	}, ev)
	near(t, "share 0 → 1", w.Edges()[0].Share, 0.65*0.75, 1e-12)
	near(t, "share 1 → 0", w.Edges()[1].Share, 0.35*0.75, 1e-12)
	near(t, "kept by 0", w.Kept()[0], 0.65+0.35*0.25, 1e-12)
	recovers, carries := make([]float64, 2), make([]float64, 2)
	w.Credit([]float64{0, 1}, recovers, carries)
	near(t, "0 recovers", recovers[0], 0.65*0.75, 1e-12)
	near(t, "1 recovers", recovers[1], 0.65*0.25+0.35, 1e-12)
	near(t, "carried 0 → 1", carries[0], 0.65*0.75, 1e-12)
	near(t, "carried 1 → 0", carries[1], 0, 0)
	near(t, "gain of 0", w.Gain([]float64{0, 1}, []bool{true, false}), 0.65*0.75, 1e-12)
}

// After the first question nothing is allocated, whatever is asked.
func TestNoAllocation(t *testing.T) {
	spec, _ := throwNetwork(t)
	n := len(spec.Background)
	w := mustCompile(t, spec).NewWork()
	ev := unseen(n)
	ev.Ratio[3], ev.Ratio[7] = 20, 0.1
	ev.Absent, ev.Hard = make([]bool, n), make([]int8, n)
	ev.Absent[5], ev.Hard[9] = true, 1
	ev.Held = []HeldReading{{Pair: 1, Chance: 0.8}}
	parts, recovers, row := make([]float64, n), make([]float64, n), make([]float64, n)
	carries, fixed := make([]float64, len(w.Edges())), make([]bool, n)
	allocations := testing.AllocsPerRun(20, func() {
		if err := w.Infer(ev); err != nil {
			t.Fatal(err)
		}
		w.Credit(parts, recovers, carries)
		w.CreditRow(0, row)
		w.Gain(parts, fixed)
	})
	if allocations != 0 {
		t.Errorf("%v allocations a question, want none", allocations)
	}
}

// Before anything was asked every answer is 0.
func TestFreshWork(t *testing.T) {
	w := mustCompile(t, Spec{Background: []float64{0.2, 0.1}, Links: []Link{{0, 1, 0.5}}}).NewWork()
	recovers, carries := make([]float64, 2), make([]float64, 1)
	w.Credit([]float64{1, 1}, recovers, carries)
	near(t, "everything", sum(recovers)+sum(carries)+sum(w.InContext())+w.Edges()[0].Share, 0, 0)
}
