package cause

import (
	"errors"
	"math"
	"testing"
)

// Russell & Norvig, Artificial Intelligence: A Modern Approach, section on
// compact conditional distributions: fever from cold, flu and malaria, whose
// inhibitions are 0.6, 0.2 and 0.1; no leak.
func TestFever(t *testing.T) {
	table := noisyOr([]float64{0, 0.4, 0.8, 0.9})
	// Sets (malaria, flu, cold) in binary order, cold lowest.
	want := []float64{0, 0.4, 0.8, 0.88, 0.9, 0.94, 0.98, 0.988}
	for set, p := range want {
		near(t, "P(fever)", table[2*set+1], p, 1e-12)
		near(t, "P(no fever)", table[2*set], 1-p, 1e-12)
	}
	// The same by way of the whole network, causes given as hard evidence.
	s := Spec{
		Background: []float64{0.5, 0.5, 0.5, 0},
		Links:      []Link{{0, 3, 0.4}, {1, 3, 0.8}, {2, 3, 0.9}},
	}
	w := mustCompile(t, s).NewWork()
	for set, p := range want {
		ev := unseen(4)
		ev.Hard = make([]int8, 4)
		for i := range 3 {
			ev.Hard[i] = int8(set>>i&1*2 - 1)
		}
		if err := w.Infer(ev); err != nil {
			t.Fatal(err)
		}
		near(t, "P(fever) by inference", w.InContext()[3], p, 1e-12)
	}
}

// Leaky noisy-OR in the link form 1 − (1 − l)Π(1 − s), in which a strength is
// the cause's own, without the leak (Díez 1993); from memory, recomputed. The
// compound form (Henrion 1989) would give 0.466667 for both causes.
func TestLeakyLinkForm(t *testing.T) {
	table := noisyOr([]float64{0.1, 0.2, 0.4})
	for set, want := range []float64{0.1, 0.28, 0.46, 0.568} {
		near(t, "P(effect)", table[2*set+1], want, 1e-12)
	}
}

// Shapley value of the OR game, Shapley 1953: cold (0.4) and flu (0.8) present,
// fever seen. Of the patterns that give fever, 0.08 cold alone, 0.48 flu alone,
// 0.32 both, of 0.88: 0.24/0.88 and 0.64/0.88.
func TestOrGame(t *testing.T) {
	w := mustInfer(t, Spec{
		Background: []float64{0.5, 0.5, 0.5, 0},
		Links:      []Link{{0, 3, 0.4}, {1, 3, 0.8}, {2, 3, 0.9}},
	}, &Evidence{Ratio: []float64{1, 1, 1, 1}, Hard: []int8{1, 1, -1, 1}})
	near(t, "cold", w.Edges()[0].Share, 0.272727, 1e-6)
	near(t, "flu", w.Edges()[1].Share, 0.727273, 1e-6)
	near(t, "malaria, absent", w.Edges()[2].Share, 0, 0)
	near(t, "background, none", w.Kept()[3], 0, 1e-15)
}

// Four nodes on a grid and a second root: roots 0 and 4 at one half; an edge
// whose tail is active fires with 0.8, any other with 0.1. Worked example of a
// published note on elimination; recomputed by hand.
func TestGridByGeneralTables(t *testing.T) {
	edge := func(causes int) []float64 {
		table := make([]float64, 2<<causes)
		for set := range 1 << causes {
			none := 1.0
			for i := range causes {
				none *= []float64{0.9, 0.2}[set>>i&1]
			}
			table[2*set], table[2*set+1] = none, 1-none
		}
		return table
	}
	root := []float64{0.5, 0.5}
	tr := treeOver(t, []family{
		{[]int{0}, root},
		{[]int{1, 0}, edge(1)},
		{[]int{2, 0, 4}, edge(2)},
		{[]int{3, 1, 2, 4}, edge(3)},
		{[]int{4}, root},
	})
	near(t, "P(3)", chanceIn(t, tr, 3, nil), 0.81441875, 1e-12)
}

// Pearl's burglary network with the numbers of Russell & Norvig: both neighbours
// call. P(burglary | John, Mary) = 0.284171835. A general table: an earthquake
// and a burglary together do not combine as a noisy-OR.
func TestBurglaryByGeneralTables(t *testing.T) {
	tr := treeOver(t, []family{
		{[]int{0}, []float64{0.999, 0.001}},                                           // burglary
		{[]int{1}, []float64{0.998, 0.002}},                                           // earthquake
		{[]int{2, 0, 1}, []float64{0.999, 0.001, 0.06, 0.94, 0.71, 0.29, 0.05, 0.95}}, // alarm
		{[]int{3, 2}, []float64{0.95, 0.05, 0.10, 0.90}},                              // John calls
		{[]int{4, 2}, []float64{0.99, 0.01, 0.30, 0.70}},                              // Mary calls
	})
	near(t, "P(burglary)", chanceIn(t, tr, 0, nil), 0.001, 1e-15)
	near(t, "P(burglary | both call)", chanceIn(t, tr, 0, map[int]finding{3: {0, 1}, 4: {0, 1}}), 0.284171835, 5e-10)
}

// Evidence of probability zero names the node that cannot be, and gives no NaN.
func TestImpossibleEvidence(t *testing.T) {
	chain := Spec{Background: []float64{0.5, 0, 0}, Links: []Link{{0, 1, 0.7}, {1, 2, 1}}}
	pair := Spec{Background: []float64{0.5, 0}, Pairs: []Pair{{0, 1, 0.4, 0.5}}}
	for _, c := range []struct {
		name string
		spec Spec
		ev   Evidence
		node int
	}{
		{"effect without background, cause surely absent", chain, Evidence{Hard: []int8{-1, 1, 0}}, 1},
		{"the same, cause does not apply", chain, Evidence{Hard: []int8{0, 1, 0}, Absent: []bool{true, false, false}}, 1},
		{"two steps away", chain, Evidence{Hard: []int8{-1, 0, 1}}, 2},
		{"sure effect surely absent", chain, Evidence{Hard: []int8{1, 1, -1}}, 2},
		{"present yet does not apply", chain, Evidence{Hard: []int8{0, 1, 0}, Absent: []bool{false, true, false}}, 1},
		{"in one of two directions", pair, Evidence{Hard: []int8{0, 1}}, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.ev.Ratio = unseen(len(c.spec.Background)).Ratio
			w := mustCompile(t, c.spec).NewWork()
			err := w.Infer(&c.ev)
			var impossible *ImpossibleError
			if !errors.As(err, &impossible) || impossible.Node != c.node {
				t.Fatalf("got %v, want an ImpossibleError naming node %d", err, c.node)
			}
			if err := w.Infer(unseen(len(c.spec.Background))); err != nil {
				t.Fatalf("the next question: %v", err)
			}
			for i, p := range w.InContext() {
				if math.IsNaN(p) {
					t.Errorf("node %d is NaN afterwards", i)
				}
			}
		})
	}
}

// treeOver builds a join tree over general tables, one for each node.
func treeOver(t *testing.T, families []family) *tree {
	t.Helper()
	scopes := make([][]int, len(families))
	for i, f := range families {
		scopes[i] = f.scope
	}
	e, err := eliminate(scopes, MaxCells)
	if err != nil {
		t.Fatal(err)
	}
	return newTree(families, e)
}

// chanceIn is the node's posterior chance in a tree.
func chanceIn(t *testing.T, tr *tree, node int, given map[int]finding) float64 {
	t.Helper()
	s := &scratch{
		cells: make([]float64, tr.cells), seps: make([]float64, tr.seps), down: make([]float64, tr.seps),
		family: make([]float64, tr.widest), findings: make([]finding, tr.nodes),
	}
	for i := range s.findings {
		s.findings[i] = nothing
	}
	for i, f := range given {
		s.findings[i] = f
	}
	if !tr.collect(s) {
		t.Fatal("evidence has probability zero")
	}
	tr.distribute(s)
	for i := range tr.cliques {
		c := &tr.cliques[i]
		for k := range c.families {
			if c.families[k].node == node {
				return oddShare(c.posterior(&c.families[k], s))
			}
		}
	}
	t.Fatalf("node %d has no family", node)
	return 0
}

func unseen(n int) *Evidence {
	ev := &Evidence{Ratio: make([]float64, n)}
	for i := range ev.Ratio {
		ev.Ratio[i] = 1
	}
	return ev
}
