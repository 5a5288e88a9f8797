package engine

import (
	"fmt"
	"math"

	"rootcue/engine/flight"
	"rootcue/engine/measure"
	"rootcue/engine/quantity"
	"rootcue/engine/rubric"
)

// throwSeen is the throw behind the clock; NaN where something is not known.
type throwSeen struct {
	flight, uFlight float64 // s
	pop, uPop       float64 // s
	speed           float64 // m/s
}

// throw puts together flight, pop time and speed from what was measured; what
// is missing follows from the ball's flight where the throw did not bounce.
func (j *judge) throw() throwSeen {
	t := throwSeen{flight: math.NaN(), pop: math.NaN(), speed: math.NaN()}
	speed, hasSpeed := j.mean("throw_speed")
	if hasSpeed {
		t.speed = speed.X
		t.flight, t.uFlight = j.flightAt(speed)
	}
	if measured, u, ok := j.flightSeen(); ok {
		if hasSpeed && !isNaN(t.flight) {
			j.compareFlights(t, measured, u)
		}
		t.flight, t.uFlight = measured, u
	}
	if pop, ok := j.mean("pop_time"); ok {
		t.pop, t.uPop = pop.X, pop.U()
	} else if !isNaN(t.flight) && j.exchange.Reps > 0 {
		t.pop, t.uPop = j.exchange.Value.X+t.flight, math.Hypot(j.exchange.Value.U(), t.uFlight)
	}
	if !hasSpeed && !isNaN(t.flight) {
		t.speed = j.speedOf(t.flight)
	}
	return t
}

// flightSeen is the flight as timed: itself, or the pop time less the exchange,
// with what the two have in common taken out of the uncertainty.
func (j *judge) flightSeen() (t, u float64, ok bool) {
	if v, ok := j.mean("flight_time"); ok {
		return v.X, v.U(), true
	}
	pop, ok := j.mean("pop_time")
	exchange, timed := j.mean("exchange_time")
	if !ok || !timed {
		return 0, 0, false
	}
	up, ue := pop.U(), exchange.U()
	return pop.X - exchange.X, math.Sqrt(math.Max(0, up*up+ue*ue-2*quantity.Covariance(pop, exchange))), true
}

// flightsApart is how many combined standard uncertainties the flight computed
// from the speed and the flight as timed may differ by before it is worth a
// note.
const flightsApart = 3

// compareFlights holds the flight at the measured speed against the flight as
// timed. A throw that bounced has no flight from its speed and is not compared.
func (j *judge) compareFlights(bySpeed throwSeen, timed, u float64) {
	if apart := math.Abs(timed - bySpeed.flight); apart > flightsApart*math.Hypot(u, bySpeed.uFlight) {
		j.note("speed-against-flight", fmt.Sprintf("At %.1f m/s the ball flies %.2f s, but %.2f s was timed: %.2f s apart, more than the uncertainty of speed and times allows. Check the speed, the times and the length of the base path.",
			bySpeed.speed, bySpeed.flight, timed, apart))
	}
}

// mean is a measure over the free reps as formulas see it, if it was seen.
func (j *judge) mean(name string) (quantity.Value, bool) {
	m := j.r.MeasureNamed(name)
	if m < 0 {
		return quantity.Value{}, false
	}
	mean := j.s.Mean(m, j.s.Free())
	return j.s.InFormulas(m, mean.Value), mean.Reps > 0
}

// flightAt is the flight time at a measured speed, with its uncertainty from
// speed and air.
func (j *judge) flightAt(speed quantity.Value) (t, u float64) {
	path, ok := j.path()
	if !ok {
		return math.NaN(), 0
	}
	throw, err := flight.Solve(flight.Default(), path, speed.X)
	if err != nil {
		return math.NaN(), 0
	}
	if !throw.Carries {
		j.note("does-not-carry", fmt.Sprintf("At %.1f m/s the throw does not carry %.1f m in the air, so no flight time follows from its speed.", speed.X, path.DistanceM))
		return math.NaN(), 0
	}
	up, err1 := flight.Solve(flight.Default(), path, speed.X+speed.U())
	down, err2 := flight.Solve(flight.Default(), path, speed.X-speed.U())
	z := 0.0
	if err1 == nil && err2 == nil && up.Carries && down.Carries {
		z = (up.TimeS - down.TimeS) / 2
	}
	return throw.TimeS, math.Hypot(throw.UTimeS, z)
}

func (j *judge) speedOf(seconds float64) float64 {
	path, ok := j.path()
	if !ok {
		return math.NaN()
	}
	throw, err := flight.SpeedFor(flight.Default(), path, seconds)
	if err != nil || !throw.Carries {
		return math.NaN()
	}
	return throw.SpeedMps
}

// path is the way of the throw; not known when it bounced or the distance is
// not.
func (j *judge) path() (flight.Path, bool) {
	c := j.s.CommonConditions(j.s.Free())
	d, ok := measure.ThrowDistance(&c)
	if bounced, seen := j.mean("bounced"); !ok || j.s.Stature.X == 0 || seen && bounced.X > 0 {
		return flight.Path{}, false
	}
	p := rubric.PathOf(d, j.s.Stature.X)
	if height, seen := j.mean("arrival_height"); seen {
		p.TargetM = height.X
	}
	return p, true
}

// chanceOut is the chance that the runner is out at a pop time; not known
// without a runner's distance or without knowing whether leads are allowed.
func (j *judge) chanceOut(pop, u float64) float64 {
	c := j.s.CommonConditions(j.s.Free())
	if isNaN(pop) || !c.Seen[rubric.BasePath] || !c.Seen[rubric.RunnerMayLead] {
		return math.NaN()
	}
	out, ok := j.r.Race(j.s.Band, c.BasePath, c.RunnerMayLead, flight.Amount{Value: pop, U: u})
	if !ok {
		return math.NaN()
	}
	return out.ChanceOut
}
