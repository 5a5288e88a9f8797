// Package practice plans a practice for a group: who does which drill in which
// turn, so that the whole group gains most, within places, helpers and what each
// arm may still throw that day.
//
// Gains are in seconds off the clock. A second turn at the same station counts
// half, a third nothing. The plan is the best there is, and says so with a bound.
package practice

import (
	"fmt"
	"math"
	"slices"

	"rootcue/engine/place"
)

// A Practice is what a plan is made for.
type Practice struct {
	Minutes  int // of the whole practice
	Turn     int // minutes a turn
	Helpers  int // grown-ups who can each run one station
	Stations []Station
	Players  []Player
}

// A Station is a drill and how many can do it at once.
type Station struct {
	Drill  string
	Places int
	Throws int  // by each player in a turn
	Helper bool // needs a helper for the whole practice
}

// A Player is who might gain what, in seconds a turn, by drill.
type Player struct {
	Ref        string
	ThrowsLeft *int // today, by the rules in force; nil: not stated
	Stopped    bool // throwing is stopped: no turn at a station that throws
	Gains      map[string]float64
	Why        string // there are no gains, if the caller knows; "" otherwise
}

// Limits that keep the exact plan within memory and whole numbers.
const (
	mostPlayers  = 500
	MostStations = 60
	mostTurns    = 60
	mostGain     = 60.0 // s

	mostMinutes    = 24 * 60
	mostAtOnce     = 1000 // helpers, players at a station, throws a turn
	mostThrowsLeft = 10000
)

// Turns is how many turns the minutes make.
func (p Practice) Turns() int {
	if p.Turn <= 0 {
		return 0
	}
	return p.Minutes / p.Turn
}

// Check finds what no plan can be made of. Pointers are into the practice as a
// document: /practice/turn, /stations/0/places, /players/3/gains/….
func (p Practice) Check() []place.Problem {
	var c checker
	c.between("/practice/turn", p.Turn, 1, mostMinutes, "minutes")
	c.between("/practice/minutes", p.Minutes, max(p.Turn, 1), mostMinutes, "minutes, at least one turn")
	c.between("/practice/helpers", p.Helpers, 0, mostAtOnce, "helpers")
	if p.Turn > 0 && p.Turns() > mostTurns {
		c.add("/practice/turn", fmt.Sprintf("%d turns", p.Turns()), fmt.Sprintf("at most %d turns", mostTurns))
	}
	c.between("/stations", len(p.Stations), 1, MostStations, "stations")
	c.between("/players", len(p.Players), 1, mostPlayers, "players")
	drills, refs := map[string]bool{}, map[string]bool{}
	for i, s := range p.Stations {
		at := fmt.Sprintf("/stations/%d", i)
		c.once(at+"/drill", s.Drill, drills)
		c.between(at+"/places", s.Places, 1, mostAtOnce, "players at once")
		c.between(at+"/throws", s.Throws, 0, mostAtOnce, "throws a turn")
	}
	for i, player := range p.Players {
		at := fmt.Sprintf("/players/%d", i)
		c.once(at+"/ref", player.Ref, refs)
		if player.ThrowsLeft != nil {
			c.between(at+"/throws_left", *player.ThrowsLeft, 0, mostThrowsLeft, "throws")
		}
		for _, drill := range sortedKeys(player.Gains) {
			if g := player.Gains[drill]; math.IsNaN(g) || g < 0 || g > mostGain {
				c.add(at+"/gains/"+drill, fmt.Sprintf("%g", g), fmt.Sprintf("seconds from 0 to %g", mostGain))
			}
		}
	}
	return c.problems
}

type checker struct{ problems []place.Problem }

func (c *checker) add(pointer, found, wanted string) {
	c.problems = append(c.problems, place.Problem{Code: "bad-practice", Pointer: pointer, Found: found, Wanted: wanted})
}

func (c *checker) between(pointer string, found, low, high int, unit string) {
	if found < low || found > high {
		c.add(pointer, fmt.Sprint(found), fmt.Sprintf("from %d to %d %s", low, high, unit))
	}
}

func (c *checker) once(pointer, name string, seen map[string]bool) {
	if name == "" {
		c.add(pointer, "no name", "a name")
	} else if seen[name] {
		c.add(pointer, name+" a second time", "each name once")
	}
	seen[name] = true
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
