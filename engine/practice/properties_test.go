package practice

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// TestMoreNeverGainsLess: another place, helper, turn, or ten throws more.
func TestMoreNeverGainsLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := small(t)
		before := Make(p).GainS
		for name, more := range map[string]func(*Practice){
			"a place":  func(p *Practice) { p.Stations[0].Places++ },
			"a helper": func(p *Practice) { p.Helpers++ },
			"a turn":   func(p *Practice) { p.Minutes += p.Turn },
			"throws": func(p *Practice) {
				if n := p.Players[0].ThrowsLeft; n != nil {
					p.Players[0].ThrowsLeft = left(*n + 10)
				}
			},
			"a player": func(p *Practice) {
				p.Players = append(p.Players, Player{Ref: "new", Gains: map[string]float64{"d0": 0.05}})
			},
		} {
			q := p
			q.Stations, q.Players = slices.Clone(p.Stations), slices.Clone(p.Players)
			more(&q)
			if after := Make(q).GainS; after < before-1e-9 {
				t.Fatalf("with %s more: %v, before %v", name, after, before)
			}
		}
	})
}

// TestTwiceTheGainsTwiceTheGain: only proportions decide.
func TestTwiceTheGainsTwiceTheGain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := small(t)
		q := p
		q.Players = slices.Clone(p.Players)
		for i := range q.Players {
			q.Players[i].Gains = maps.Clone(q.Players[i].Gains)
			for d := range q.Players[i].Gains {
				q.Players[i].Gains[d] *= 2
			}
		}
		a, b := Make(p), Make(q)
		if math.Abs(b.GainS-2*a.GainS) > 1e-9 || !cmp.Equal(a.Turns, b.Turns) {
			t.Fatalf("%v and %v", a, b)
		}
	})
}

// TestStationsAddLessTheMoreThereAre is what the bound of the search rests on:
// gain(A+s) − gain(A) ≥ gain(B+s) − gain(B) wherever B holds A.
func TestStationsAddLessTheMoreThereAre(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := small(t)
		g := newGroup(p)
		n := len(g.stations)
		set := func(bits int) []bool {
			open := make([]bool, n)
			for s := range open {
				open[s] = bits>>s&1 == 1
			}
			return open
		}
		gain := make([]int64, 1<<n)
		for bits := range gain {
			_, gain[bits] = g.assign(set(bits))
		}
		for b := range gain {
			for a := range gain {
				for s := range n {
					if a&b == a && b>>s&1 == 0 && gain[a|1<<s]-gain[a] < gain[b|1<<s]-gain[b] {
						t.Fatalf("station %d adds %d to %b and %d to %b", s, gain[a|1<<s]-gain[a], a, gain[b|1<<s]-gain[b], b)
					}
				}
			}
		}
	})
}

// TestFlowKeepsItsRules: nothing over an edge's room, nothing lost on the way,
// and no detour left that would gain (no positive path from source to sink, no
// cycle that gains: the flow is best, Ford & Fulkerson 1962).
func TestFlowKeepsItsRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const players, stations = 4, 3
		n := newNetwork(2 + players + stations)
		room := map[int]int{}
		add := func(a, b, most int, gain int64) {
			room[n.add(a, b, most, gain)] = most
		}
		for p := range players {
			add(0, 2+p, rapid.IntRange(0, 3).Draw(t, "turns"), 0)
			for s := range stations {
				add(2+p, 2+players+s, rapid.IntRange(0, 2).Draw(t, "room"), int64(rapid.IntRange(-2, 9).Draw(t, "gain")))
			}
		}
		for s := range stations {
			add(2+players+s, 1, rapid.IntRange(0, 5).Draw(t, "places"), 0)
		}
		gain, sum, balance := n.fill(0, 1), int64(0), make([]int, 2+players+stations)
		for _, e := range slices.Sorted(maps.Keys(room)) {
			f := n.flow(e)
			if f < 0 || f > room[e] {
				t.Fatalf("edge %d carries %d of %d", e, f, room[e])
			}
			sum += int64(f) * n.edges[e].gain
			balance[n.edges[e].to] += f
			balance[n.edges[e^1].to] -= f
		}
		if gain != sum {
			t.Fatalf("told %d, edges give %d", gain, sum)
		}
		for v, b := range balance[2:] {
			if b != 0 {
				t.Fatalf("node %d keeps %d", v+2, b)
			}
		}
		n.longest(0)
		if n.mark[1] > 0 {
			t.Fatalf("a path that gains %d is left", n.mark[1])
		}
	})
}

func TestUnitsAreWholeAndComeBack(t *testing.T) {
	for _, c := range []struct {
		seconds float64
		units   int64
		back    float64
	}{{0, 0, 0}, {0.06, 1_200_000, 0.06}, {1e-7, 2, 1e-7}, {4e-8, 0, 0}, {0.1234567, 2_469_134, 0.1234567}, {60, 1_200_000_000, 60}} {
		if u := units(c.seconds); u != c.units || u%2 != 0 || seconds(u) != c.back {
			t.Errorf("%v: %d units, back %v", c.seconds, u, seconds(u))
		}
	}
}

func TestWorthOfTurns(t *testing.T) {
	who, at := Player{Gains: map[string]float64{"d": 0.04}}, Station{Drill: "d"}
	for n, want := range []float64{0, 0.04, 0.06, 0.06} {
		if got := seconds(worth(who, at, n)); got != want {
			t.Errorf("%d turns: %v, want %v", n, got, want)
		}
	}
	if got := worth(who, Station{Drill: "other"}, 2); got != 0 {
		t.Errorf("a drill without gain: %d", got)
	}
}

func TestTurnsOfThePractice(t *testing.T) {
	for _, c := range []struct{ minutes, turn, want int }{{60, 12, 5}, {59, 12, 4}, {12, 12, 1}, {11, 12, 0}, {60, 0, 0}, {60, -1, 0}} {
		if got := (Practice{Minutes: c.minutes, Turn: c.turn}).Turns(); got != c.want {
			t.Errorf("%d minutes in turns of %d: %d, want %d", c.minutes, c.turn, got, c.want)
		}
	}
}

// TestReasonsForWhatIsLeftOver: one practice a reason.
func TestReasonsForWhatIsLeftOver(t *testing.T) {
	one := func(who Player, turns, helpers int, stations ...Station) Practice {
		return Practice{Minutes: turns, Turn: 1, Helpers: helpers, Stations: stations, Players: []Player{who}}
	}
	gains := func(g ...float64) map[string]float64 {
		out := map[string]float64{}
		for i, x := range g {
			out[fmt.Sprint("d", i)] = x
		}
		return out
	}
	open, throwing, helped := Station{"d0", 1, 0, false}, Station{"d0", 1, 10, false}, Station{"d0", 1, 0, true}
	for _, c := range []struct {
		name string
		p    Practice
		says string
	}{
		{"no helper at all", one(Player{Ref: "A", Gains: gains(0.1)}, 2, 0, helped), "and there is none"},
		{"the helper elsewhere", one(Player{Ref: "A", Gains: gains(0.1, 0.2)}, 2, 1, helped, Station{"d1", 1, 0, true}), "as much or more with the helpers at other stations"},
		{"a station without its helper", one(Player{Ref: "A", Gains: gains(0.1)}, 2, 0, helped), "the station has no helper"},
		{"stopped", one(Player{Ref: "A", Stopped: true, Gains: gains(0.1)}, 2, 0, throwing), "throwing is stopped"},
		{"no throws left", one(Player{Ref: "A", ThrowsLeft: left(9), Gains: gains(0.1)}, 2, 0, throwing), "no throws left for it today"},
		{"no turn left", one(Player{Ref: "A", Gains: gains(0.1, 0.2)}, 1, 0, open, Station{"d1", 1, 0, false}), "all turns go to stations that give the group as much or more"},
		{"no station", one(Player{Ref: "A", Gains: map[string]float64{"other": 0.1}}, 1, 0, open), "no station offers it today"},
		{"nothing to gain", one(Player{Ref: "A", Gains: gains(0)}, 1, 0, open), "no gain is stated for any of them"},
	} {
		var all []string
		for _, l := range Make(c.p).LeftOver {
			all = append(all, l.Says)
		}
		if !strings.Contains(strings.Join(all, "\n"), c.says) {
			t.Errorf("%s: %q does not say %q", c.name, all, c.says)
		}
	}
}

// TestWhatIsNotGivenIsSaid: every gain that gets no turn is in left_over, and
// nothing that gets one is.
func TestWhatIsNotGivenIsSaid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := small(t)
		plan := Make(p)
		given, said := map[string]bool{}, map[string]bool{}
		for _, turn := range plan.Turns {
			for _, a := range turn.Stations {
				for _, ref := range a.Players {
					given[ref+" "+a.Drill] = true
				}
			}
		}
		for _, l := range plan.LeftOver {
			if l.Ref != "" && l.Drill != "" {
				said[l.Ref+" "+l.Drill] = true
			}
			if l.Says == "" {
				t.Fatalf("without a word: %+v", l)
			}
		}
		for _, who := range p.Players {
			for drill, g := range who.Gains {
				if key := who.Ref + " " + drill; g > 0 && given[key] == said[key] || g == 0 && said[key] {
					t.Fatalf("%s gains %v: given %v, left over %v", key, g, given[key], said[key])
				}
			}
		}
	})
}

// TestSwapByHand: a full small timetable into which one more turn only fits after
// an exchange along a path.
func TestSwapByHand(t *testing.T) {
	// Two turns, two places. A has turn 0 at place 0, B turn 1 at place 0 and turn 0
	// at place 1. A may still take turn 1, place 1 has turn 1 free: no exchange.
	c := colouring{turns: 2, player: [][]int{{0, -1}, {1, 0}, {-1, -1}}, place: [][]int{{0, 1}, {1, -1}}}
	c.add(0, 1)
	if d := cmp.Diff([][]int{{0, 1}, {1, 0}, {-1, -1}}, c.player); d != "" {
		t.Error(d)
	}
	// C has turn 1 at place 1; A is at place 0 in turn 0 and wants place 1, which
	// has only turn 0 left, when A is busy: C and place 1 change to turn 0.
	c = colouring{turns: 2, player: [][]int{{0, -1}, {-1, -1}, {-1, 1}}, place: [][]int{{0, -1}, {-1, 2}}}
	c.add(0, 1)
	if d := cmp.Diff([][]int{{0, 1}, {-1, -1}, {1, -1}}, c.player); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([][]int{{0, -1}, {2, 0}}, c.place); d != "" {
		t.Error(d)
	}
}

func TestGainsCountOnlyWhatIsToBeWorkedOn(t *testing.T) {
	a, err := ReadAssessment([]byte(`{"player": {}, "cautions": [],
		"findings": [{"fault": "a", "chance": 0.5}, {"fault": "b", "chance": 1}, {"fault": "c"}],
		"chains": [{"root": "a", "recovers_s": 0.2}, {"root": "b", "recovers_s": -0.1}, {"root": "c", "recovers_s": 0.3}, {"root": "d", "recovers_s": 0.4}],
		"work_on": [{"fault": "a", "drills": [{"drill": "x"}]}, {"fault": "b", "drills": [{"drill": "x"}]}, {"fault": "c", "drills": [{"drill": "y"}]}]}`))
	if err != nil {
		t.Fatal(err)
	}
	// b gives nothing back, c has no chance, d is not worked on.
	if d := cmp.Diff(map[string]float64{"x": 0.1, "y": 0}, a.Gains()); d != "" {
		t.Error(d)
	}
	who := Player{Stopped: true}
	who.Take(a)
	if !who.Stopped || who.Gains["x"] != 0.1 {
		t.Errorf("a stop known before is lost: %+v", who)
	}
}
