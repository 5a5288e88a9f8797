package practice

import (
	"cmp"
	"slices"
)

// A group is a practice with players and stations in order of their names, so
// that the order in a file decides nothing.
type group struct {
	turns    int
	helpers  int
	stations []Station
	players  []Player
	throws   int // the most any station asks in a turn
}

func newGroup(p Practice) group {
	g := group{turns: p.Turns(), helpers: p.Helpers, stations: slices.Clone(p.Stations), players: slices.Clone(p.Players)}
	slices.SortFunc(g.stations, func(a, b Station) int { return cmp.Compare(a.Drill, b.Drill) })
	slices.SortFunc(g.players, func(a, b Player) int { return cmp.Compare(a.Ref, b.Ref) })
	for _, s := range g.stations {
		g.throws = max(g.throws, s.Throws)
	}
	return g
}

// throwingTurns is how many of a player's turns may be at stations that throw:
// each counts as the most any station asks.
func (g group) throwingTurns(p Player) int {
	switch {
	case p.Stopped:
		return 0
	case p.ThrowsLeft == nil || g.throws == 0:
		return g.turns
	}
	return min(g.turns, *p.ThrowsLeft/g.throws)
}

// assign gives each player turns at the open stations so that the group gains
// most: counts[player][station], and the gain in units.
func (g group) assign(open []bool) (counts [][]int, gain int64) {
	players, stations := len(g.players), len(g.stations)
	source, sink := 0, 1
	player := func(p int) int { return 2 + p }
	gate := func(p int) int { return 2 + players + p }
	station := func(s int) int { return 2 + 2*players + s }
	n := newNetwork(2 + 2*players + stations)
	first := make([][]int, players)
	for p, who := range g.players {
		n.add(source, player(p), g.turns, 0)
		n.add(player(p), gate(p), g.throwingTurns(who), 0)
		first[p] = make([]int, stations)
		for s, at := range g.stations {
			first[p][s] = -1
			once := units(who.Gains[at.Drill])
			if !open[s] || once == 0 {
				continue
			}
			from := player(p)
			if at.Throws > 0 {
				from = gate(p)
			}
			first[p][s] = n.add(from, station(s), 1, once)
			n.add(from, station(s), 1, once/2)
		}
	}
	for s, at := range g.stations {
		n.add(station(s), sink, g.turns*at.Places, 0)
	}
	gain = n.fill(source, sink)
	counts = make([][]int, players)
	for p := range counts {
		counts[p] = make([]int, stations)
		for s, e := range first[p] {
			if e >= 0 {
				counts[p][s] = n.flow(e) + n.flow(e+2)
			}
		}
	}
	return counts, gain
}

// all opens every station.
func (g group) all() []bool {
	open := make([]bool, len(g.stations))
	for s := range open {
		open[s] = true
	}
	return open
}
