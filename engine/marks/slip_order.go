package marks

import (
	"fmt"
	"slices"
)

// chains are the orders that a throw cannot leave: the ball's way, once by its
// lowest point and once by its farthest back, and the front foot between the
// change of hands and the release. Feet and hand are not ordered against each
// other. The ball arrives after it is let go, the rest may share a frame.
var chains = [][]Moment{
	{Catch, Transfer, BallLow, Ear, Release, Arrival},
	{Catch, Transfer, BallBack, Ear, Release, Arrival},
	{Catch, Transfer, FrontFootPlant, Release, Arrival},
}

// order checks each marked moment against the next marked one of its chains.
func (f *findings) order(sc *scene) {
	var told [][2]Moment
	for _, chain := range chains {
		before := Moment(-1)
		for _, m := range chain {
			if !sc.events[m].seen {
				continue
			}
			if pair := [2]Moment{before, m}; before >= 0 && !inOrder(&sc.events, before, m) && !slices.Contains(told, pair) {
				told = append(told, pair)
				f.outOfOrder(sc, before, m)
			}
			before = m
		}
	}
}

func inOrder(events *[MomentCount]event, a, b Moment) bool {
	if b == Arrival {
		return events[a].t < events[b].t
	}
	return events[a].t <= events[b].t
}

func (f *findings) outOfOrder(sc *scene, a, b Moment) {
	wanted := a.String() + " no later than " + b.String()
	if b == Arrival {
		wanted = a.String() + " before " + b.String()
	}
	f.add("out-of-order", f.clockPointer(sc, b), sc.when(a)+" and "+sc.when(b), wanted, f.whyOrder(sc, a, b))
}

// whyOrder tries what would mend it: exchanging the two, a digit too many in
// one of them, leaving one of them out.
func (f *findings) whyOrder(sc *scene, a, b Moment) string {
	swapped := sc.events
	swapped[a], swapped[b] = sc.events[b], sc.events[a]
	if sensible(&swapped) {
		return "probably " + a.String() + " and " + b.String() + " are swapped"
	}
	for _, m := range []Moment{a, b} {
		shorter := sc.events
		if n := sc.cam.Frames[m].N; !sc.cam.Times[m].Seen && n > 0 {
			shorter[m].t *= float64(n/10) / float64(n)
			if sensible(&shorter) {
				return fmt.Sprintf("probably a digit too many in %s: frame %d?", m, n/10)
			}
		}
	}
	withoutA, withoutB := sc.events, sc.events
	withoutA[a].seen, withoutB[b].seen = false, false
	switch mendsA, mendsB := sensible(&withoutA), sensible(&withoutB); {
	case mendsA && !mendsB:
		return "probably " + a.String() + " is mistyped"
	case mendsB && !mendsA:
		return "probably " + b.String() + " is mistyped"
	}
	return "probably one of the two is mistyped"
}

// sensible reports whether all marked moments are in order and no interval is
// out of range.
func sensible(events *[MomentCount]event) bool {
	for _, chain := range chains {
		before := Moment(-1)
		for _, m := range chain {
			if events[m].seen {
				if before >= 0 && !inOrder(events, before, m) {
					return false
				}
				before = m
			}
		}
	}
	for _, a := range allowed {
		start, end := events[a.start], events[a.end]
		if t := end.t - start.t; start.seen && end.seen && (t < a.least || t > a.longest) {
			return false
		}
	}
	return true
}
