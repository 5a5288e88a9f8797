package marks

import "slices"

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
			if pair := [2]Moment{before, m}; before >= 0 && !inOrder(sc, before, m) && !slices.Contains(told, pair) {
				told = append(told, pair)
				f.outOfOrder(sc, before, m)
			}
			before = m
		}
	}
}

func inOrder(sc *scene, a, b Moment) bool {
	if b == Arrival {
		return sc.events[a].t < sc.events[b].t
	}
	return sc.events[a].t <= sc.events[b].t
}

func (f *findings) outOfOrder(sc *scene, a, b Moment) {
	wanted := a.String() + " no later than " + b.String()
	if b == Arrival {
		wanted = a.String() + " before " + b.String()
	}
	f.add("out-of-order", f.clockPointer(sc, b), sc.when(a)+" and "+sc.when(b), wanted, f.whyOrder(sc, a, b))
}

// whyOrder tells whether exchanging the two would mend it.
func (f *findings) whyOrder(sc *scene, a, b Moment) string {
	swapped := *sc
	swapped.events[a], swapped.events[b] = sc.events[b], sc.events[a]
	if swapped.orderly() {
		return "probably " + a.String() + " and " + b.String() + " are swapped"
	}
	return "probably " + sc.oddOne(a, b).String() + " is mistyped"
}

// orderly reports whether all marked moments are in order.
func (sc *scene) orderly() bool {
	for _, chain := range chains {
		before := Moment(-1)
		for _, m := range chain {
			if sc.events[m].seen {
				if before >= 0 && !inOrder(sc, before, m) {
					return false
				}
				before = m
			}
		}
	}
	return true
}

// oddOne is the moment of the two without which the rest is in order.
func (sc *scene) oddOne(a, b Moment) Moment {
	without := *sc
	without.events[a].seen = false
	if without.orderly() {
		return a
	}
	return b
}
