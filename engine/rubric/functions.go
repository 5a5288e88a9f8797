package rubric

import (
	"rootcue/engine/flight"
	"rootcue/engine/formula"
)

// functionNames are the names of functions.
var functionNames = []string{"flight_time", "speed_for", "chance_out"}

// functions are what this rubric's formulas may call beside the built-in ones.
// They are not seen where stature, distance or conditions are not, or where the
// throw does not carry. The slots must be laid out before one is called.
func (r *Rubric) functions() []formula.Func {
	r.flights, r.speeds = new(memo), new(memo)
	return []formula.Func{
		{Name: functionNames[0], Arity: 2, Call: r.flightTime}, // speed m/s, distance m → s
		{Name: functionNames[1], Arity: 2, Call: r.speedFor},   // time s, distance m → m/s
		{Name: functionNames[2], Arity: 1, Call: r.chanceOut},  // pop s → chance
	}
}

func (r *Rubric) flightTime(in *formula.Inputs, a [3]float64) (float64, bool) {
	if !in.Seen[r.Slots.Stature] {
		return 0, false
	}
	stature := in.X[r.Slots.Stature]
	return r.flights.of([3]float64{a[0], a[1], stature}, func() (float64, bool) {
		t, err := flight.Solve(exactBall(), PathOf(a[1], stature), a[0])
		return t.TimeS, err == nil && t.Carries
	})
}

func (r *Rubric) speedFor(in *formula.Inputs, a [3]float64) (float64, bool) {
	if !in.Seen[r.Slots.Stature] {
		return 0, false
	}
	stature := in.X[r.Slots.Stature]
	return r.speeds.of([3]float64{a[0], a[1], stature}, func() (float64, bool) {
		t, err := flight.SpeedFor(exactBall(), PathOf(a[1], stature), a[0])
		return t.SpeedMps, err == nil && t.Carries
	})
}

// exactBall is the default ball without uncertainty: a formula wants the
// figure alone.
func exactBall() flight.Ball {
	b := flight.Default()
	b.UCD, b.URho = 0, 0
	return b
}

func (r *Rubric) chanceOut(in *formula.Inputs, a [3]float64) (float64, bool) {
	base, leads := r.Slots.Condition+int(BasePath), r.Slots.Condition+int(RunnerMayLead)
	band := r.BandOf(int(in.X[r.Slots.Age]))
	if !in.Seen[base] || !in.Seen[leads] || band < 0 {
		return 0, false
	}
	out, ok := r.Race(band, in.X[base], in.X[leads] != 0, flight.Amount{Value: a[0]})
	return out.ChanceOut, ok
}
