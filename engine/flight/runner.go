package flight

import "math"

// An Amount is a value with its standard uncertainty in the same unit; U = 0
// is exact.
type Amount struct{ Value, U float64 }

// A Runner is how a base runner gets to the base: waits, then gains speed
// towards a top speed, x(t) = v(t − τ(1 − e^{−t/τ})).
type Runner struct {
	BasePath Amount // from base to base, m
	Lead     Amount // off the base when the clock starts, m
	TopSpeed Amount // v, m/s
	Tau      Amount // τ, time constant of the start, s
	Reaction Amount // before the first move, s
}

// runTime is the time to cover a distance from a standing start, in s. x(t) is
// convex and t ≤ d/v + τ, so Newton's method from that bound closes in from
// above without passing the root.
func runTime(distance, top, tau float64) float64 {
	t := distance/top + tau
	for range 100 {
		step := (top*gain(t, tau) - distance) / (top * -math.Expm1(-t/tau))
		if !(step > 1e-13*t) {
			break
		}
		t -= step
	}
	return t
}

// gain is x(t)/v, in s: the time run at full speed that covers as much ground.
func gain(t, tau float64) float64 {
	if t <= 0 {
		return 0
	}
	return t + tau*math.Expm1(-t/tau)
}

// Time is the time from the runner's cue to the base: reaction, then the base
// path less the lead, with uncertainty to first order from all five values
// (JCGM 100:2008 5.1.3 note 2). An error is a *RangeError.
func (r Runner) Time() (Amount, error) {
	if err := r.check(); err != nil {
		return Amount{}, err
	}
	at := [...]Amount{r.BasePath, r.Lead, r.TopSpeed, r.Tau, r.Reaction}
	sum := 0.0
	for i, part := range at {
		if part.U == 0 {
			continue
		}
		up, down := at, at
		up[i].Value += part.U
		down[i].Value -= part.U
		z := (timeOf(up) - timeOf(down)) / 2
		sum += z * z
	}
	return Amount{Value: timeOf(at), U: math.Sqrt(sum)}, nil
}

// timeOf is the runner's time for base path, lead, top speed, τ and reaction.
func timeOf(at [5]Amount) float64 {
	return at[4].Value + runTime(at[0].Value-at[1].Value, at[2].Value, at[3].Value)
}

// check holds each value, give or take its uncertainty, to what the model can
// follow.
func (r Runner) check() *RangeError {
	return first(
		within("base path", r.BasePath.Value, 5, 50, "m"),
		within("uncertainty of the base path", r.BasePath.U, 0, 1, "m"),
		within("lead", r.Lead.Value, 0, r.BasePath.Value-2, "m"),
		within("uncertainty of the lead", r.Lead.U, 0, 1, "m"),
		within("top speed", r.TopSpeed.Value, 1, 12, "m/s"),
		within("uncertainty of the top speed", r.TopSpeed.U, 0, r.TopSpeed.Value/2, "m/s"),
		r.checkStart(),
	)
}

// checkStart is check for the part of the model that does not need the speed.
func (r Runner) checkStart() *RangeError {
	return first(
		within("time constant of the start", r.Tau.Value, 0.01, 5, "s"),
		within("uncertainty of the time constant", r.Tau.U, 0, r.Tau.Value*0.9, "s"),
		within("reaction", r.Reaction.Value, 0, 3, "s"),
		within("uncertainty of the reaction", r.Reaction.U, 0, 3, "s"),
	)
}
