package engine

import (
	"slices"

	"rootcue/engine/cause"
	"rootcue/engine/verdict"
)

// A chain is listed from 1 ms given back or half a fault explained; its links
// run to effects at least likely, along shares of a tenth.
const (
	leastRecovers = 0.001
	leastExplains = 0.5
	likely        = 0.5
	leastShare    = 0.10
)

func (j *judge) chains() []Chain {
	list := []Chain{}
	for _, f := range j.roots() {
		list = append(list, Chain{
			Root: j.r.Faults[f].Name, Verdict: j.faults[f].verdict,
			RecoversS: Number(j.recovers[f]), U: Number(j.uRecovers(f)), Explains: Number(j.explains[f]),
			Links: j.linksFrom(f),
		})
	}
	for i := range list {
		list[i].Rank = i + 1
	}
	return list
}

// roots are the faults that have a chain, by what they give back, then by what
// they explain.
func (j *judge) roots() (order []int) {
	for f := range j.faults {
		if j.recovers[f] >= leastRecovers || j.explains[f] >= leastExplains {
			order = append(order, f)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return firstOf(descending(j.recovers[a], j.recovers[b]), descending(j.explains[a], j.explains[b]))
	})
	return order
}

func descending(a, b float64) int {
	switch {
	case a > b:
		return -1
	case a < b:
		return 1
	}
	return 0
}

func firstOf(orders ...int) int {
	for _, o := range orders {
		if o != 0 {
			return o
		}
	}
	return 0
}

// linksFrom walks from a root to the effects it likely has, nearest first.
func (j *judge) linksFrom(root int) []ChainLink {
	links := []ChainLink{}
	context := j.work.InContext()
	reached := map[int]bool{root: true}
	for queue := []int{root}; len(queue) > 0; queue = queue[1:] {
		for e, edge := range j.work.Edges() {
			if edge.From != queue[0] || edge.Share < leastShare || context[edge.To] < likely {
				continue
			}
			links = append(links, ChainLink{j.r.Faults[edge.From].Name, j.r.Faults[edge.To].Name, Number(edge.Share), Number(j.carries[e]), j.because(e, edge)})
			if !reached[edge.To] {
				reached[edge.To] = true
				queue = append(queue, edge.To)
			}
		}
	}
	return links
}

// because is the reason written beside a link or a pair.
func (j *judge) because(e int, edge cause.Edge) string {
	if e < len(j.r.Links) {
		return j.r.Links[e].Because
	}
	return j.r.Pairs[(e-len(j.r.Links))/2].Because
}

func (j *judge) undecided() []Undecided {
	list := []Undecided{}
	context, forward := j.work.InContext(), j.work.Forward()
	for p, pair := range j.r.Pairs {
		if context[pair.First] >= likely && context[pair.Second] >= likely {
			list = append(list, Undecided{[2]string{j.r.Faults[pair.First].Name, j.r.Faults[pair.Second].Name}, Number(forward[p]), pair.SettleBy})
		}
	}
	return list
}

func (j *judge) keep() []Keep {
	list := []Keep{}
	for i := range j.r.Faults {
		if j.faults[i].verdict == verdict.Sound && j.r.Faults[i].Praise != "" {
			list = append(list, Keep{j.r.Faults[i].Name, j.r.Faults[i].Praise})
		}
	}
	return list
}
