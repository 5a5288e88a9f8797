package cause

import (
	"fmt"
	"math"
)

// Evidence is what was seen of a network with N nodes.
type Evidence struct {
	// Ratio, of length N, is virtual evidence (Pearl 1988): for
	// each node chance/(1 − chance) by its own measurement; 1 = unseen. It is
	// clipped to [1e-6, 1e6], so that no reading alone is ever certain.
	Ratio []float64
	// Absent, nil or of length N, marks nodes that do not apply: surely absent,
	// so that they bring about nothing, and no evidence about their own causes.
	Absent []bool
	// Hard, nil or of length N, answers what-if questions: +1 surely present,
	// −1 surely absent, 0 nothing. Unlike Absent it is evidence about causes.
	Hard []int8
	// Held are the readings that tell the directions of pairs; see Forward.
	Held []HeldReading
}

const (
	leastRatio = 1e-6
	mostRatio  = 1e6
)

// check refuses evidence that does not fit the graph.
func (ev *Evidence) check(g *Graph) error {
	if len(ev.Ratio) != g.nodes {
		return fmt.Errorf("cause: evidence has %d ratios, want %d", len(ev.Ratio), g.nodes)
	}
	if ev.Absent != nil && len(ev.Absent) != g.nodes {
		return fmt.Errorf("cause: evidence has %d marks of absence, want none or %d", len(ev.Absent), g.nodes)
	}
	if ev.Hard != nil && len(ev.Hard) != g.nodes {
		return fmt.Errorf("cause: evidence has %d hard findings, want none or %d", len(ev.Hard), g.nodes)
	}
	for i, r := range ev.Ratio {
		if !(r >= 0) {
			return fmt.Errorf("cause: ratio of node %d is %v, want 0 or more", i, r)
		}
	}
	for i, h := range ev.Held {
		if h.Pair < 0 || h.Pair >= len(g.pairs) {
			return fmt.Errorf("cause: held reading %d is of pair %d, want one from 0 to %d", i, h.Pair, len(g.pairs)-1)
		}
		if !isChance(h.Chance) {
			return fmt.Errorf("cause: held reading %d has chance %v, want a number in [0, 1]", i, h.Chance)
		}
	}
	return nil
}

// finding is the evidence on one node: how likely what was seen is if the node
// is absent, and if it is present. The larger is 1.
type finding [2]float64

// nothing is what is found on an unseen node.
var nothing = finding{1, 1}

// findings reads the evidence node by node. What does not apply is left to cut.
func (ev *Evidence) findings(out []finding) {
	for i, ratio := range ev.Ratio {
		r := math.Min(math.Max(ratio, leastRatio), mostRatio)
		out[i] = finding{math.Min(1, 1/r), math.Min(1, r)}
		if ev.Absent != nil && ev.Absent[i] {
			out[i] = nothing
		}
		if ev.Hard != nil && ev.Hard[i] > 0 {
			out[i] = finding{0, 1}
		}
		if ev.Hard != nil && ev.Hard[i] < 0 {
			out[i] = finding{1, 0}
		}
	}
}
