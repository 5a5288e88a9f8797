package engine_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"rootcue/engine"
	"rootcue/engine/flight"
	"rootcue/engine/rubric"
)

// throwAt judges a throw of a player of 14 and 163 cm on 80 ft bases.
func throwAt(t *testing.T, inside string) *engine.Assessment {
	t.Helper()
	return assessText(t, throwRubric(t), fmt.Sprintf(`{"player": {"ref": "P", "age": 14, "stature_cm": 163}, "on": "2026-05-09", "reps": [{"rep": 1, "measures": {%s}}]}`, inside))
}

// flightOf is the flight over those bases at a speed in mph.
func flightOf(t *testing.T, mph float64) flight.Throw {
	t.Helper()
	throw, err := flight.Solve(flight.Default(), rubric.PathOf(80*0.3048*math.Sqrt2, 1.63), mph*0.44704)
	if err != nil || !throw.Carries {
		t.Fatalf("%v %v", throw, err)
	}
	return throw
}

// TestSpeedAgainstFlight: the flight by the measured speed and the flight as
// timed, pop time less exchange, are held against each other at 3 combined
// standard uncertainties; not where the throw bounced.
func TestSpeedAgainstFlight(t *testing.T) {
	by := flightOf(t, 60)
	up, _ := flight.Solve(flight.Default(), rubric.PathOf(80*0.3048*math.Sqrt2, 1.63), 62*0.44704)
	down, _ := flight.Solve(flight.Default(), rubric.PathOf(80*0.3048*math.Sqrt2, 1.63), 58*0.44704)
	u := math.Sqrt(math.Pow(by.UTimeS, 2) + math.Pow((up.TimeS-down.TimeS)/2, 2) + 2*0.02*0.02) // speed u 2 mph; pop and exchange 0.02 each
	for _, c := range []struct {
		name, more string
		apart      float64 // in u
		note       bool
	}{
		{"as computed", "", 0, false}, {"2.9 u later", "", 2.9, false}, {"3.1 u later", "", 3.1, true}, {"3.1 u sooner", "", -3.1, true}, {"2.9 u sooner", "", -2.9, false},
		{"bounced", `, "bounced": true`, 10, false}, {"did not bounce", `, "bounced": false`, 10, true},
	} {
		a := throwAt(t, fmt.Sprintf(`"throw_speed": 60, "exchange_time": 1, "pop_time": %v%s`, 1+by.TimeS+c.apart*u, c.more))
		if hasNote(a, "speed-against-flight") != c.note {
			t.Errorf("%s: notes %v", c.name, a.Notes)
		}
		if got := float64(a.Clock.FlightS); math.Abs(got-by.TimeS-c.apart*u) > 1e-9 {
			t.Errorf("%s: flight %v, timed %v", c.name, got, by.TimeS+c.apart*u)
		}
	}
	if a := throwAt(t, `"throw_speed": 60, "pop_time": 5`); hasNote(a, "speed-against-flight") {
		t.Error("compared without an exchange")
	}
}

// TestThrowBehindTheClock: what is missing of flight, pop time and speed follows
// from the others.
func TestThrowBehindTheClock(t *testing.T) {
	by, nan := flightOf(t, 60), math.NaN()
	for _, c := range []struct {
		name, inside       string
		flight, pop, speed float64
	}{
		{"speed", `"throw_speed": 60`, by.TimeS, 1 + by.TimeS, 26.8224},
		{"pop time", fmt.Sprintf(`"pop_time": %v`, 1+by.TimeS), by.TimeS, 1 + by.TimeS, 26.8224},
		{"both", fmt.Sprintf(`"throw_speed": 61, "pop_time": %v`, 1+by.TimeS), by.TimeS, 1 + by.TimeS, 61 * 0.44704},
		{"neither", `"change_time": null`, nan, nan, nan},
		{"bounced, speed", `"throw_speed": 60, "bounced": true`, nan, nan, 26.8224},
		{"bounced, pop time", `"pop_time": 2.5, "bounced": true`, 1.5, 2.5, nan},
		{"too slow to carry", `"throw_speed": 30`, nan, nan, 30 * 0.44704},
	} {
		a := throwAt(t, `"exchange_time": 1, `+c.inside)
		for _, v := range []struct {
			what string
			got  engine.Number
			want float64
		}{{"flight", a.Clock.FlightS, c.flight}, {"pop", a.Clock.PopS, c.pop}, {"speed", a.Clock.ThrowSpeedMps, c.speed}} {
			if v.got.Known() == math.IsNaN(v.want) || v.got.Known() && math.Abs(float64(v.got)-v.want) > 1e-6 {
				t.Errorf("%s: %s %v, wanted %v", c.name, v.what, v.got, v.want)
			}
		}
		count := 0
		for _, n := range a.Notes {
			if n.Code == "does-not-carry" {
				count++
			}
		}
		if want := map[bool]int{true: 1}[c.name == "too slow to carry"]; count != want {
			t.Errorf("%s: %d notes does-not-carry, wanted %d", c.name, count, want)
		}
	}
}

// TestChanceOfAnOut: a faster exchange makes the out likelier; with nothing to
// race there is no chance.
func TestChanceOfAnOut(t *testing.T) {
	a := throwAt(t, `"exchange_time": 1.2, "pop_time": 2.6, "clean_change": false`)
	if len(a.WorkOn) == 0 {
		t.Fatal("nothing to work on")
	}
	w := a.WorkOn[0]
	if !(w.ChanceOutAfter > w.ChanceOutBefore) || !(w.ExchangeAfterS < 1.2) || math.Abs(float64(w.PopAfterS-w.ExchangeAfterS)-1.4) > 1e-9 {
		t.Errorf("%+v", w)
	}
	if without := throwAt(t, `"exchange_time": 1.2, "clean_change": false`).WorkOn[0]; without.ChanceOutBefore.Known() || without.PopAfterS.Known() {
		t.Errorf("%+v", without)
	}
}

// TestExchangeWithoutGoal: a rubric without a reference shows the exchange all
// the same; what is compared with the goal is null.
func TestExchangeWithoutGoal(t *testing.T) {
	src := strings.Replace(few, `reference: {exchange_time: {"8-18": 1, u: 0.05}}`, "", 1)
	a := assessText(t, parseText(t, src), fewDocument(`"age": 12`, measures(`"exchange_time": 1.1`)))
	if c := a.Clock; !c.Seen || c.ExchangeS != 1.1 || c.ReferenceS.Known() || c.LostS.Known() || c.UnexplainedS.Known() || hasNote(a, "no-clock") {
		t.Errorf("%+v %v", c, a.Notes)
	}
}
