package practice

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

func left(n int) *int { return &n }

// evening is a small practice of invented players.
func evening() Practice {
	return Practice{
		Minutes: 60, Turn: 12, Helpers: 3,
		Stations: []Station{{"shoulder-change", 3, 0, false}, {"knee-throws", 2, 10, true}},
		Players: []Player{
			{Ref: "P-0733", ThrowsLeft: left(30), Gains: map[string]float64{"shoulder-change": 0.06, "knee-throws": 0.02}},
			{Ref: "P-0741", ThrowsLeft: left(15), Gains: map[string]float64{"knee-throws": 0.04}},
		},
	}
}

func TestPlanOfAnEvening(t *testing.T) {
	got := Make(evening())
	// 0.06 + 0.03 and 0.02 + 0.01 for one, 0.04 once (15 throws are one turn of
	// 10) for the other.
	if got.GainS != 0.16 || got.BoundS != 0.16 {
		t.Errorf("gain %v, bound %v, want 0.16 proven", got.GainS, got.BoundS)
	}
	want := []Gain{
		{"P-0733", 0.12, 20, "knee-throws twice: 0.030 s, shoulder-change twice: 0.090 s; 30 throws left today allow 3 turns at stations with throws"},
		{"P-0741", 0.04, 10, "knee-throws once: 0.040 s; 15 throws left today allow one turn at stations with throws"},
	}
	if d := cmp.Diff(want, got.Players); d != "" {
		t.Error(d)
	}
	if len(got.Turns) != 5 || len(got.LeftOver) != 0 {
		t.Errorf("got %d turns and left over %v", len(got.Turns), got.LeftOver)
	}
}

func TestWhoAndWhatIsLeftOverIsSaid(t *testing.T) {
	p := evening()
	p.Turn, p.Helpers = 60, 0
	p.Stations[0].Places = 1
	p.Players[0].Stopped = true
	p.Players = append(p.Players,
		Player{Ref: "P-0800", Gains: map[string]float64{"shoulder-change": 0.05, "mirror": 0.01}},
		Player{Ref: "P-0801"})
	got := Make(p)
	want := []Leaving{
		{"", "knee-throws", 0, "needs a helper for the whole practice, and there is none"},
		{"P-0733", "knee-throws", 0.02, "the station has no helper"},
		{"P-0741", "knee-throws", 0.04, "the station has no helper"},
		{"P-0800", "mirror", 0.01, "no station offers it today"},
		{"P-0800", "shoulder-change", 0.05, "every place is taken by players who gain as much or more"},
		{"P-0801", "", 0, "no station would help: no gain is stated for any of them"},
	}
	if d := cmp.Diff(want, got.LeftOver); d != "" {
		t.Error(d)
	}
	if !strings.Contains(got.Players[0].Why, "throwing is stopped") || !strings.Contains(got.Players[2].Why, "not stated") {
		t.Errorf("why: %q, %q", got.Players[0].Why, got.Players[2].Why)
	}
}

func TestThrowsBound(t *testing.T) {
	for _, c := range []struct {
		name    string
		left    *int
		stopped bool
		gain    float64
		throws  int
	}{
		{"not stated", nil, false, 0.15, 30}, // two turns at each of two stations
		{"enough", left(60), false, 0.15, 30},
		{"one turn, counted by the station that asks most", left(19), false, 0.06, 10},
		{"none", left(9), false, 0, 0},
		{"stopped", left(60), true, 0, 0},
	} {
		p := Practice{Minutes: 40, Turn: 10, Stations: []Station{{"a", 1, 10, false}, {"b", 1, 5, false}},
			Players: []Player{{Ref: "P", ThrowsLeft: c.left, Stopped: c.stopped, Gains: map[string]float64{"a": 0.06, "b": 0.04}}}}
		got := Make(p).Players[0]
		if got.GainS != c.gain || got.Throws != c.throws {
			t.Errorf("%s: got %v s and %d throws, want %v and %d", c.name, got.GainS, got.Throws, c.gain, c.throws)
		}
	}
}

func TestTiesGoByName(t *testing.T) {
	p := Practice{Minutes: 10, Turn: 10, Helpers: 1,
		Stations: []Station{{"d2", 1, 0, true}, {"d1", 1, 0, true}},
		Players:  []Player{{Ref: "B", Gains: map[string]float64{"d1": 0.1, "d2": 0.1}}, {Ref: "A", Gains: map[string]float64{"d1": 0.1, "d2": 0.1}}}}
	want := []Turn{{1, []Appointment{{"d1", []string{"A"}}}}}
	if d := cmp.Diff(want, Make(p).Turns); d != "" {
		t.Error(d)
	}
}

func TestPlanJSON(t *testing.T) {
	p := Practice{Minutes: 10, Turn: 10, Stations: []Station{{"d", 1, 0, false}}, Players: []Player{{Ref: "A"}}}
	got, err := json.Marshal(Make(p))
	want := `{"turns":[{"turn":1,"stations":[]}],"gain_s":0,"bound_s":0,"players":[{"ref":"A","gain_s":0,"throws":0,"why":"no turn"}],` +
		`"left_over":[{"ref":"A","gain_s":0,"says":"no station would help: no gain is stated for any of them"}]}`
	if err != nil || string(got) != want {
		t.Errorf("got %s (%v)\nwant %s", got, err, want)
	}
}

// small draws a practice that brute force can search.
func small(t *rapid.T) Practice {
	p := Practice{Turn: 10, Helpers: rapid.IntRange(0, 2).Draw(t, "helpers")}
	p.Minutes = 10*rapid.IntRange(1, 3).Draw(t, "turns") + rapid.IntRange(0, 9).Draw(t, "rest")
	for s := range rapid.IntRange(1, 3).Draw(t, "stations") {
		p.Stations = append(p.Stations, Station{fmt.Sprint("d", s), rapid.IntRange(1, 2).Draw(t, "places"),
			rapid.SampledFrom([]int{0, 0, 5, 10}).Draw(t, "throws"), rapid.Bool().Draw(t, "helper")})
	}
	for i := range rapid.IntRange(1, 3).Draw(t, "players") {
		who := Player{Ref: fmt.Sprint("P", i), Stopped: rapid.IntRange(0, 5).Draw(t, "stop") == 0, Gains: map[string]float64{}}
		if rapid.Bool().Draw(t, "stated") {
			who.ThrowsLeft = left(rapid.IntRange(0, 30).Draw(t, "left"))
		}
		for _, s := range p.Stations {
			who.Gains[s.Drill] = float64(rapid.IntRange(0, 9).Draw(t, "gain")) / 100
		}
		p.Players = append(p.Players, who)
	}
	return p
}

// brute tries every number of turns of every player at every station, for every
// set of stations the helpers can run, by the rules as they are written.
func brute(p Practice) float64 {
	most := 0.0
	largest := 0
	for _, s := range p.Stations {
		largest = max(largest, s.Throws)
	}
	taken := make([]int, len(p.Stations))
	var give func(player, station, turns, throwing int, gain float64)
	give = func(player, station, turns, throwing int, gain float64) {
		if player == len(p.Players) {
			helpers := 0
			for s, n := range taken {
				if n > 0 && p.Stations[s].Helper {
					helpers++
				}
			}
			if helpers <= p.Helpers {
				most = max(most, gain)
			}
			return
		}
		if station == len(p.Stations) {
			give(player+1, 0, 0, 0, gain)
			return
		}
		who, at := p.Players[player], p.Stations[station]
		for n := 0; n <= 2; n++ {
			allowed := turns+n <= p.Turns() && taken[station]+n <= p.Turns()*at.Places
			thrown := throwing
			if at.Throws > 0 {
				thrown += n
				if thrown > 0 && (who.Stopped || who.ThrowsLeft != nil && thrown > *who.ThrowsLeft/largest) {
					allowed = false
				}
			}
			if allowed {
				taken[station] += n
				give(player, station+1, turns+n, thrown, gain+[]float64{0, 1, 1.5}[n]*who.Gains[at.Drill])
				taken[station] -= n
			}
		}
	}
	give(0, 0, 0, 0, 0)
	return most
}

func TestAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := small(t)
		got := Make(p)
		if want := brute(p); math.Abs(got.GainS-want) > 1e-9 || math.Abs(got.BoundS-want) > 1e-9 {
			t.Fatalf("gain %v, bound %v, best %v", got.GainS, got.BoundS, want)
		}
		holds(t, p, got)
	})
}

// holds checks a plan against every rule of the practice.
func holds(t *rapid.T, p Practice, plan Plan) {
	if len(plan.Turns) != p.Turns() {
		t.Fatalf("%d turns, want %d", len(plan.Turns), p.Turns())
	}
	stations, helpers, sum := map[string]Station{}, map[string]bool{}, 0.0
	for _, s := range p.Stations {
		stations[s.Drill] = s
	}
	turns, throws := map[string]map[string]int{}, map[string]int{}
	for _, turn := range plan.Turns {
		busy := map[string]bool{}
		for _, a := range turn.Stations {
			s := stations[a.Drill]
			if len(a.Players) > s.Places {
				t.Fatalf("turn %d: %d players for %d places at %s", turn.Turn, len(a.Players), s.Places, s.Drill)
			}
			if s.Helper {
				helpers[s.Drill] = true
			}
			for _, ref := range a.Players {
				if busy[ref] {
					t.Fatalf("turn %d: %s is at two stations", turn.Turn, ref)
				}
				busy[ref] = true
				if turns[ref] == nil {
					turns[ref] = map[string]int{}
				}
				turns[ref][a.Drill]++
				throws[ref] += s.Throws
			}
		}
	}
	if len(helpers) > p.Helpers {
		t.Fatalf("%d stations with helpers, %d helpers", len(helpers), p.Helpers)
	}
	for i, g := range plan.Players {
		who := p.Players[i]
		gain := 0.0
		for drill, n := range turns[who.Ref] {
			gain += []float64{0, 1, 1.5}[n] * who.Gains[drill]
		}
		sum += gain
		if g.Ref != who.Ref || math.Abs(g.GainS-gain) > 1e-9 || g.Throws != throws[who.Ref] {
			t.Fatalf("%s: told %v s and %d throws, turns give %v and %d", g.Ref, g.GainS, g.Throws, gain, throws[who.Ref])
		}
		if throws[who.Ref] > 0 && (who.Stopped || who.ThrowsLeft != nil && throws[who.Ref] > *who.ThrowsLeft) {
			t.Fatalf("%s throws %d, left %v, stopped %v", g.Ref, throws[who.Ref], who.ThrowsLeft, who.Stopped)
		}
	}
	if math.Abs(sum-plan.GainS) > 1e-9 {
		t.Fatalf("the plan says %v s, its turns give %v", plan.GainS, sum)
	}
}

// TestBestSetOfHelperStations tries every set of stations the helpers can run.
func TestBestSetOfHelperStations(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Practice{Minutes: 20, Turn: 10, Helpers: rapid.IntRange(0, 4).Draw(t, "helpers")}
		n := rapid.IntRange(1, 6).Draw(t, "stations")
		for s := range n {
			p.Stations = append(p.Stations, Station{fmt.Sprint("d", s), rapid.IntRange(1, 2).Draw(t, "places"), 0, true})
		}
		for i := range 6 {
			who := Player{Ref: fmt.Sprint("P", i), Gains: map[string]float64{}}
			for _, s := range p.Stations {
				who.Gains[s.Drill] = float64(rapid.IntRange(0, 4).Draw(t, "gain")) / 10
			}
			p.Players = append(p.Players, who)
		}
		g, most := newGroup(p), int64(0)
		for set := range 1 << n {
			open, helpers := make([]bool, n), 0
			for s := range open {
				if open[s] = set>>s&1 == 1; open[s] {
					helpers++
				}
			}
			if helpers <= p.Helpers {
				_, gain := g.assign(open)
				most = max(most, gain)
			}
		}
		open, bound := choose(g)
		if _, gain := g.assign(open); gain != most || bound != most {
			t.Fatalf("gain %d, bound %d, best of all sets %d", gain, bound, most)
		}
	})
}

// TestASearchCutShortKeepsItsBound: with no flows left, the bound stays above
// what was found and what there is.
func TestASearchCutShortKeepsItsBound(t *testing.T) {
	g := newGroup(large(5))
	_, best := choose(g)
	var askers []int
	open := g.all()
	for s := range 10 {
		open[s] = false
		askers = append(askers, s)
	}
	s := &search{group: g, best: -1, flows: mostFlows - 20}
	s.branch(open, askers, g.helpers)
	if s.best > best || s.bound < best {
		t.Errorf("found %d, bound %d, best %d", s.best, s.bound, best)
	}
}

func TestOrderInTheFileDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := small(t)
		q := p
		q.Players = rapid.Permutation(p.Players).Draw(t, "players")
		q.Stations = rapid.Permutation(p.Stations).Draw(t, "stations")
		if d := cmp.Diff(Make(p), Make(q)); d != "" {
			t.Fatal(d)
		}
	})
}

// TestLayoutNeverFails: any counts within the bounds can be laid out (König).
func TestLayoutNeverFails(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := group{turns: rapid.IntRange(1, 6).Draw(t, "turns")}
		for range rapid.IntRange(1, 5).Draw(t, "stations") {
			g.stations = append(g.stations, Station{Places: rapid.IntRange(1, 3).Draw(t, "places")})
		}
		g.players = make([]Player, rapid.IntRange(1, 10).Draw(t, "players"))
		counts, taken := make([][]int, len(g.players)), make([]int, len(g.stations))
		for p := range counts {
			counts[p] = make([]int, len(g.stations))
			room := g.turns
			for s, at := range g.stations {
				n := rapid.IntRange(0, min(room, g.turns*at.Places-taken[s])).Draw(t, "n")
				counts[p][s], room, taken[s] = n, room-n, taken[s]+n
			}
		}
		got := make([][]int, len(g.players))
		for p := range got {
			got[p] = make([]int, len(g.stations))
		}
		for turn, stations := range layout(g, counts) {
			for s, players := range stations {
				if len(players) > g.stations[s].Places {
					t.Fatalf("turn %d: %d players at a station of %d places", turn, len(players), g.stations[s].Places)
				}
				for _, p := range players {
					got[p][s]++
				}
			}
		}
		if d := cmp.Diff(counts, got); d != "" {
			t.Fatal(d)
		}
	})
}

func TestCheckNamesWhatIsWrong(t *testing.T) {
	for _, c := range []struct {
		name, pointer string
		spoil         func(*Practice)
	}{
		{"no turn", "/practice/turn", func(p *Practice) { p.Turn = 0 }},
		{"shorter than a turn", "/practice/minutes", func(p *Practice) { p.Minutes = 11 }},
		{"too many turns", "/practice/turn", func(p *Practice) { p.Turn, p.Minutes = 1, 61 }},
		{"helpers below zero", "/practice/helpers", func(p *Practice) { p.Helpers = -1 }},
		{"no station", "/stations", func(p *Practice) { p.Stations = nil }},
		{"no player", "/players", func(p *Practice) { p.Players = nil }},
		{"no place", "/stations/1/places", func(p *Practice) { p.Stations[1].Places = 0 }},
		{"throws below zero", "/stations/1/throws", func(p *Practice) { p.Stations[1].Throws = -1 }},
		{"a drill twice", "/stations/1/drill", func(p *Practice) { p.Stations[1].Drill = "shoulder-change" }},
		{"a player without name", "/players/0/ref", func(p *Practice) { p.Players[0].Ref = "" }},
		{"a player twice", "/players/1/ref", func(p *Practice) { p.Players[1].Ref = "P-0733" }},
		{"throws left below zero", "/players/0/throws_left", func(p *Practice) { p.Players[0].ThrowsLeft = left(-1) }},
		{"a loss", "/players/1/gains/knee-throws", func(p *Practice) { p.Players[1].Gains["knee-throws"] = -0.1 }},
		{"no number", "/players/1/gains/knee-throws", func(p *Practice) { p.Players[1].Gains["knee-throws"] = math.NaN() }},
	} {
		p := evening()
		c.spoil(&p)
		got := p.Check()
		if len(got) != 1 || got[0].Pointer != c.pointer || got[0].Found == "" || got[0].Wanted == "" {
			t.Errorf("%s: got %+v, want one problem at %s", c.name, got, c.pointer)
		}
	}
	if got := evening().Check(); got != nil {
		t.Errorf("a good practice: %v", got)
	}
}

func TestGainsOfAnAssessment(t *testing.T) {
	var a Assessment
	err := json.Unmarshal([]byte(`{
		"cautions": [{"level": "watch", "stops": []}, {"level": "stop", "stops": ["pitching"]}],
		"findings": [{"fault": "late-feet", "chance": 0.9}, {"fault": "tall-set", "chance": 0.5}, {"fault": "low-elbow"}],
		"chains": [{"root": "late-feet", "recovers_s": 0.1}, {"root": "tall-set", "recovers_s": 0.04}, {"root": "low-elbow", "recovers_s": 0.2}],
		"work_on": [{"fault": "late-feet", "drills": [{"drill": "quick-feet"}, {"drill": "box"}]}, {"fault": "tall-set", "drills": [{"drill": "box"}]}]}`), &a)
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{"quick-feet": 0.09, "box": 0.9*0.1 + 0.5*0.04}
	if d := cmp.Diff(want, a.Gains(), cmpopts.EquateApprox(0, 1e-12)); d != "" {
		t.Error(d)
	}
	if a.Stopped() {
		t.Error("a stop on pitching alone is taken as a stop on throwing")
	}
	a.Cautions[1].Stops = append(a.Cautions[1].Stops, "throwing")
	if !a.Stopped() {
		t.Error("a stop on throwing is not seen")
	}
}

// large is a practice of 40 players and 12 stations, most asking for a helper;
// gains fixed by a small generator.
func large(helpers int) Practice {
	p := Practice{Minutes: 60, Turn: 12, Helpers: helpers}
	x := uint32(1)
	next := func(n uint32) int {
		x = x*1664525 + 1013904223
		return int(x >> 16 % 65536 % n)
	}
	for s := range 12 {
		p.Stations = append(p.Stations, Station{fmt.Sprintf("d%02d", s), 1 + next(3), 5 * next(3), s < 10})
	}
	for i := range 40 {
		who := Player{Ref: fmt.Sprintf("P-%02d", i), ThrowsLeft: left(next(60)), Gains: map[string]float64{}}
		for _, s := range p.Stations {
			if next(3) > 0 {
				who.Gains[s.Drill] = float64(next(1000)) / 10000
			}
		}
		p.Players = append(p.Players, who)
	}
	return p
}

func TestLargePracticeIsProven(t *testing.T) {
	for helpers := range 11 {
		got := Make(large(helpers))
		if got.BoundS > 1.02*got.GainS || got.GainS > got.BoundS {
			t.Errorf("%d helpers: gain %v, bound %v: want within 2 %%", helpers, got.GainS, got.BoundS)
		}
	}
}

func BenchmarkPlan40Players12Stations(b *testing.B) {
	for _, helpers := range []int{3, 5, 10} {
		p := large(helpers)
		b.Run(fmt.Sprint("helpers=", helpers), func(b *testing.B) {
			for b.Loop() {
				Make(p)
			}
		})
	}
}
