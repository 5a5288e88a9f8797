package flight

import "math"

// RaceInput is the race between a throw and a runner. Nil is left out: delivery
// and tag then take their defaults and the runner's time comes from Model. A
// stated Amount is taken as it is, its uncertainty too. Times in s.
type RaceInput struct {
	Pop      Amount  // catch to the glove at the base
	Delivery *Amount // pitcher's first move to the catch
	Tag      *Amount // glove to tag
	Runner   *Amount // runner's cue to the base
	Model    *Runner // how the runner runs
	NoLeads  bool    // the runner holds until the pitch reaches the plate, so the delivery drops out
	Exchange *Amount // catch to release, the first part of Pop
	Ball     *Ball   // with Path: what is thrown, for the speed that would make it even
	Path     *Path
}

// The defaults of a race: starting values, for the instructor to edit.
var (
	DefaultDelivery = Amount{1.35, 0.08} // s
	DefaultTag      = Amount{0.10, 0.03} // s
	DefaultReaction = Amount{0.20, 0.05} // s
	DefaultTau      = Amount{0.6, 0.1}   // s
)

// RaceResult is who wins and how surely. Margin is positive when the tag comes
// first.
type RaceResult struct {
	MarginS         float64  // runner − delivery − pop − tag, s
	US              float64  // its standard uncertainty, s
	ChanceOut       float64  // Φ(margin/u); without uncertainty 1 or 0, and a tie is safe
	Runner          Amount   // the runner's time, stated or from the model, s
	RunnerAtRelease *float64 // share of the way (base path less lead) run when the ball leaves the hand; nil without Exchange
	Need            *Need    // what would make it even; nil without Exchange
}

// Need is what would bring the margin to 0. Its exchange carries the
// uncertainty of the margin: pop, exchange and flight read off the same frames
// have the same uncertainty.
type Need struct {
	Exchange *Amount // at this flight, s; nil when none is short enough
	Throw    *Throw  // at this exchange; nil without Ball and Path or when no speed of 1 to 100 m/s does it
}

// Race runs the race. An error is a *RangeError.
func Race(in RaceInput) (out RaceResult, err error) {
	in.fill()
	if err := in.check(); err != nil {
		return RaceResult{}, err
	}
	if in.Runner != nil {
		out.Runner = *in.Runner
	} else {
		if out.Runner, err = in.model().Time(); err != nil {
			return RaceResult{}, err
		}
	}
	out.MarginS = out.Runner.Value - in.Delivery.Value - in.Pop.Value - in.Tag.Value
	out.US = math.Sqrt(square(out.Runner.U) + square(in.Delivery.U) + square(in.Pop.U) + square(in.Tag.U))
	out.ChanceOut = chance(out.MarginS, out.US)
	if in.Exchange != nil {
		share := in.atRelease(out.Runner.Value)
		out.RunnerAtRelease = &share
		out.Need = in.need(out.MarginS, out.US)
	}
	return out, nil
}

// fill puts the defaults in where a value was left out.
func (in *RaceInput) fill() {
	if in.NoLeads {
		in.Delivery = &Amount{}
	}
	if in.Delivery == nil {
		in.Delivery = &DefaultDelivery
	}
	if in.Tag == nil {
		in.Tag = &DefaultTag
	}
}

// model is the runner's model: without leads there is no lead. A zero model is
// out of range, which is what a race without runner deserves.
func (in *RaceInput) model() Runner {
	var r Runner
	if in.Model != nil {
		r = *in.Model
	}
	if in.NoLeads {
		r.Lead = Amount{}
	}
	return r
}

func square(x float64) float64 { return x * x }

// chance is P(margin > 0) for a normal margin: Φ(margin/u).
func chance(margin, u float64) float64 {
	if u == 0 {
		if margin > 0 {
			return 1
		}
		return 0
	}
	return math.Erfc(-margin/(u*math.Sqrt2)) / 2
}

// atRelease is the share of the way run when the ball leaves the hand. With
// x(t) ∝ t − τ(1 − e^{−t/τ}) it needs only the runner's time, not the speed.
func (in *RaceInput) atRelease(runner float64) float64 {
	reaction, tau := DefaultReaction.Value, DefaultTau.Value
	if in.Model != nil {
		reaction, tau = in.Model.Reaction.Value, in.Model.Tau.Value
	}
	released := in.Delivery.Value + in.Exchange.Value
	switch {
	case released >= runner:
		return 1
	case released <= reaction:
		return 0
	}
	return gain(released-reaction, tau) / gain(runner-reaction, tau)
}

// need is what would make the race even, given the margin and its uncertainty.
func (in *RaceInput) need(margin, u float64) *Need {
	var n Need
	if even := in.Exchange.Value + margin; even > 0 {
		n.Exchange = &Amount{Value: even, U: u}
	}
	if in.Ball == nil || in.Path == nil {
		return &n
	}
	s := situation{ball: *in.Ball, path: *in.Path, inverse: true, time: in.Pop.Value - in.Exchange.Value + margin}
	if u := (spread{cd: in.Ball.UCD, rho: in.Ball.URho, time: u}); s.checkAll(u) == nil {
		throw := s.answer(u)
		n.Throw = &throw
	}
	return &n
}

// check reports the first value that is out of range.
func (in *RaceInput) check() *RangeError {
	slip := first(
		seconds("pop time", &in.Pop, 0.1, 20),
		seconds("delivery", in.Delivery, 0, 5),
		seconds("tag", in.Tag, 0, 2),
		seconds("runner's time", in.Runner, 0.5, 20),
		seconds("exchange", in.Exchange, 0.01, in.Pop.Value),
	)
	if slip == nil && in.Model != nil {
		slip = in.Model.checkStart()
	}
	if slip == nil && in.Ball != nil && in.Path != nil {
		slip = first(in.Ball.check(), in.Path.check())
	}
	return slip
}

// seconds checks a time and its uncertainty; nil is fine.
func seconds(name string, a *Amount, low, high float64) *RangeError {
	if a == nil {
		return nil
	}
	if e := within(name, a.Value, low, high, "s"); e != nil {
		return e
	}
	return within("uncertainty of the "+name, a.U, 0, 5, "s")
}
