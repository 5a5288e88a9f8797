// Package cause is the exact noisy-OR network of cause and effect: which fault
// sets off which, how likely each is in the light of all, and which cause is to
// be credited with what an effect costs.
//
// A node is a fault or an outcome, present or absent. Given its causes,
//
//	P(present | causes) = 1 − (1 − background)·Π(1 − strength_i)
//
// over the causes i that are present: the leaky noisy-OR in its link form, in
// which strength_i is the chance that cause i alone, without the background,
// brings the effect about (Pearl 1988; with the leak, Díez 1993).
//
// A pair of nodes may be joined either way. Each choice of directions is a
// network of its own, and every result is the mean over them by weight.
//
// Compile builds a join tree for each direction once; a Work then answers any
// number of questions without allocating. Nothing here rounds, samples or
// depends on map order.
package cause

import "sync"

// MaxPairs is the largest number of pairs whose direction may be open: 64
// networks.
const MaxPairs = 6

// Link says that node From, when present, brings about node To with chance
// Strength, in [0, 1].
type Link struct {
	From, To int
	Strength float64
}

// Pair joins two nodes whose direction is not settled: with chance Weight,
// First causes Second; else Second causes First. Strength serves both ways.
type Pair struct {
	First, Second    int
	Weight, Strength float64
}

// Spec describes a network before it is compiled. Node i appears with chance
// Background[i] when none of its causes is present.
type Spec struct {
	Background []float64
	Links      []Link
	Pairs      []Pair
}

// Edge is one way for credit to go from an effect to a cause: the links of the
// Spec in their order, then for each pair First→Second and Second→First.
// Share, in [0, 1], is the part of To's credit that goes to From, averaged over
// directions by weight: an edge has share 0 in a direction without it.
type Edge struct {
	From, To int
	Share    float64
}

// Graph is a compiled Spec. It never changes and serves all goroutines.
type Graph struct {
	nodes      int
	pairs      []Pair
	edges      []Edge // shares 0
	directions []*direction
	free       sync.Pool // of *Work
}

// Compile checks the Spec and builds one join tree for each direction. It fails
// with *CycleError, *WideError, or a plain error that names the entry, what was
// found and what was wanted. The Spec may be changed afterwards.
func Compile(spec Spec) (*Graph, error) {
	if err := spec.check(); err != nil {
		return nil, err
	}
	g := &Graph{
		nodes: len(spec.Background),
		pairs: append([]Pair(nil), spec.Pairs...),
		edges: spec.edges(),
	}
	for choice := range 1 << len(spec.Pairs) {
		d, err := newDirection(spec, choice)
		if err != nil {
			return nil, err
		}
		g.directions = append(g.directions, d)
	}
	return g, nil
}

func (s Spec) edges() []Edge {
	edges := make([]Edge, 0, len(s.Links)+2*len(s.Pairs))
	for _, l := range s.Links {
		edges = append(edges, Edge{From: l.From, To: l.To})
	}
	for _, p := range s.Pairs {
		edges = append(edges, Edge{From: p.First, To: p.Second}, Edge{From: p.Second, To: p.First})
	}
	return edges
}
