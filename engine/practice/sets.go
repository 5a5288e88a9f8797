package practice

import (
	"cmp"
	"slices"
)

// mostFlows bounds the search. It ends far earlier in practice; when it does not,
// the best plan found stands and the bound says how far it may be from the best.
const mostFlows = 5000

// A search looks for the set of helper stations that gains most, by branch and
// bound. What a set of stations gains grows by less the larger the set
// (assignments of turns are gross substitutes), so a set and h more stations
// gain no more than the set and the h best single additions to it.
type search struct {
	group group
	flows int
	best  int64
	open  []bool
	bound int64 // best gain left unexplored, when the search was cut short
}

// choose returns the open stations, and a bound no plan can exceed, in units.
func choose(g group) (open []bool, bound int64) {
	open = g.all()
	var askers []int
	for s, at := range g.stations {
		if at.Helper {
			askers = append(askers, s)
		}
	}
	if len(askers) <= g.helpers {
		_, gain := g.assign(open)
		return open, gain
	}
	for _, s := range askers {
		open[s] = false
	}
	s := &search{group: g, best: -1}
	s.branch(open, askers, g.helpers)
	return s.open, max(s.best, s.bound)
}

// branch tries the ways to open at most helpers of the undecided stations.
func (s *search) branch(open []bool, undecided []int, helpers int) {
	gain := s.gain(open)
	if gain > s.best {
		s.best, s.open = gain, slices.Clone(open)
	}
	if helpers == 0 || len(undecided) == 0 {
		return
	}
	adds := make([]addition, 0, len(undecided))
	for _, u := range undecided {
		open[u] = true
		if more := s.gain(open) - gain; more > 0 {
			adds = append(adds, addition{u, more})
		}
		open[u] = false
	}
	slices.SortStableFunc(adds, func(a, b addition) int { return cmp.Compare(b.more, a.more) })
	for i, a := range adds {
		bound := gain
		for _, rest := range adds[i:min(i+helpers, len(adds))] {
			bound += rest.more
		}
		if bound <= s.best {
			return // and so is every later one
		}
		if s.flows >= mostFlows {
			s.bound = max(s.bound, bound)
			return
		}
		open[a.station] = true
		s.branch(open, stationsOf(adds[i+1:]), helpers-1)
		open[a.station] = false
	}
}

// addition is a station and what it adds to the set at hand.
type addition struct {
	station int
	more    int64
}

func stationsOf(adds []addition) []int {
	out := make([]int, len(adds))
	for i, a := range adds {
		out[i] = a.station
	}
	return out
}

func (s *search) gain(open []bool) int64 {
	s.flows++
	_, gain := s.group.assign(open)
	return gain
}
