package rubric

import (
	"rootcue/engine/flight"
)

// Throws inside formulas and assessments leave the hand at 0.95 of stature and
// aim 0.3 m above the ground, a low tag.
const (
	releaseShare = 0.95
	targetHeight = 0.3 // m
)

// PathOf is the path of a throw over a distance by a player of a stature, in
// metres.
func PathOf(distance, stature float64) flight.Path {
	return flight.Path{DistanceM: distance, ReleaseM: releaseShare * stature, TargetM: targetHeight}
}

// Race runs the race at a pop time with the rubric's constants delivery, tag,
// lead, reaction, run_up and top_speed for the band; where one is missing, the
// default of engine/flight for the band's lowest age. ok is false where the
// race cannot be run.
func (r *Rubric) Race(band int, basePath float64, leads bool, pop flight.Amount) (flight.RaceResult, bool) {
	runner, ok := r.Runner(band, basePath)
	if !ok {
		return flight.RaceResult{}, false
	}
	in := flight.RaceInput{Pop: pop, Model: &runner, NoLeads: !leads}
	if a, ok := r.amount("delivery", band); ok {
		in.Delivery = &a
	}
	if a, ok := r.amount("tag", band); ok {
		in.Tag = &a
	}
	out, err := flight.Race(in)
	return out, err == nil
}

// Runner is the base runner of a band by the rubric's constants.
func (r *Rubric) Runner(band int, basePath float64) (flight.Runner, bool) {
	age := min(18, max(8, r.Bands[band].From))
	runner, _, err := flight.RunnerFor(age)
	if err != nil {
		return runner, false
	}
	runner.BasePath = flight.Amount{Value: basePath}
	for _, part := range []struct {
		name string
		to   *flight.Amount
	}{{"lead", &runner.Lead}, {"reaction", &runner.Reaction}, {"run_up", &runner.Tau}, {"top_speed", &runner.TopSpeed}} {
		if a, ok := r.amount(part.name, band); ok {
			*part.to = a
		}
	}
	return runner, true
}

// amount is a constant for a band, in SI.
func (r *Rubric) amount(name string, band int) (flight.Amount, bool) {
	for i := range r.Constants {
		if c := &r.Constants[i]; c.Name == name {
			return flight.Amount{Value: c.Unit.InFormulas(c.ByBand[band]), U: c.Unit.InFormulas(c.U)}, true
		}
	}
	return flight.Amount{}, false
}
