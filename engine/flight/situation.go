package flight

import "math"

// situation is everything one throw depends on. It asks for the time of a
// flight of a known speed or, inverse, for the speed of one of a known time.
type situation struct {
	ball    Ball
	path    Path
	inverse bool
	speed   float64 // of launch, m/s
	time    float64 // of flight, s
}

// spread holds the standard uncertainties of a situation's parts.
type spread struct {
	mass, circumference, cd, rho, lift, distance, release, target, speed, time float64
}

// check reports the first part that is out of range.
func (in *situation) check() *RangeError {
	if err := in.ball.check(); err != nil {
		return err
	}
	if err := in.path.check(); err != nil {
		return err
	}
	if !in.inverse {
		return within("speed", in.speed, 0.1, 100, "m/s")
	}
	// At least so long that the mean speed is at most 100 m/s.
	return within("time", in.time, in.path.DistanceM/100, 10, "s")
}

// checkAll is check for the situation and for each uncertain part moved by its
// uncertainty, since those situations are solved too.
func (in *situation) checkAll(u spread) *RangeError {
	if err := in.check(); err != nil {
		return err
	}
	moved := *in
	for _, part := range moved.parts(u) {
		x := *part.x
		for _, *part.x = range [...]float64{x + part.u, x - part.u} {
			if err := moved.check(); err != nil {
				err.Name += oneAway
				return err
			}
		}
		*part.x = x
	}
	return nil
}

// oneAway marks a value that leaves its range within one standard uncertainty.
const oneAway = " give or take its uncertainty"

// part is one input of a situation with its standard uncertainty.
type part struct {
	x *float64
	u float64
}

// parts lists the inputs of the situation, to be moved in place.
func (in *situation) parts(u spread) [10]part {
	return [...]part{
		{&in.ball.MassKg, u.mass}, {&in.ball.CircumferenceM, u.circumference},
		{&in.ball.CD, u.cd}, {&in.ball.Rho, u.rho}, {&in.ball.Lift, u.lift},
		{&in.path.DistanceM, u.distance}, {&in.path.ReleaseM, u.release}, {&in.path.TargetM, u.target},
		{&in.speed, u.speed}, {&in.time, u.time},
	}
}

// checked is answer for a situation that may be out of range.
func (in *situation) checked(u spread) (Throw, error) {
	if err := in.checkAll(u); err != nil {
		return Throw{}, err
	}
	return in.answer(u), nil
}

// answer solves the situation and adds the uncertainty of what was asked for;
// what was given keeps its own.
func (in *situation) answer(u spread) Throw {
	if !in.inverse {
		throw, slope := in.throw(in.flatGuess(), fine)
		throw.USpeedMps = u.speed
		if throw.Carries {
			throw.UTimeS = in.uncertainty(throw, slope, u)
		}
		return throw
	}
	throw, slope := in.slowedTo(in.lineSpeed(), in.path.lineSlope(), 0.1, coarse)
	if throw.Carries {
		throw, slope = in.slowedTo(throw.SpeedMps, slope, 1e-6, fine)
	}
	if throw.Carries {
		throw.UTimeS = u.time
		throw.USpeedMps = in.uncertainty(throw, slope, u)
	}
	return throw
}

// uncertainty combines the effects of every uncertain part on what was asked
// for: √Σ Z_i², Z_i = [f(x_i+u_i) − f(x_i−u_i)]/2 (JCGM 100:2008 5.1.3 note 2).
// Where one of the two does not carry, Z_i is the difference on the other side.
func (in *situation) uncertainty(at Throw, slope float64, u spread) float64 {
	moved := *in
	sum := 0.0
	for _, part := range moved.parts(u) {
		if part.u == 0 {
			continue
		}
		x := *part.x
		*part.x = x + part.u
		up, upCarries := moved.asked(at, slope)
		*part.x = x - part.u
		down, downCarries := moved.asked(at, slope)
		*part.x = x
		z := halfDifference(in.figure(at), up, down, upCarries, downCarries)
		sum += z * z
	}
	return math.Sqrt(sum)
}

// asked solves a situation close to one that is solved, for the figure asked for.
func (in *situation) asked(near Throw, slope float64) (float64, bool) {
	var t Throw
	if !in.inverse {
		t, _ = in.throw(slope, coarse)
	} else {
		t, _ = in.slowedTo(near.SpeedMps, slope, 0.02, coarse)
	}
	return in.figure(t), t.Carries
}

// figure is what the situation asks for: the time, or the speed.
func (in *situation) figure(t Throw) float64 {
	if !in.inverse {
		return t.TimeS
	}
	return t.SpeedMps
}

// halfDifference is Z_i; with neither side to compare, the figure could be anything.
func halfDifference(middle, up, down float64, hasUp, hasDown bool) float64 {
	switch {
	case hasUp && hasDown:
		return (up - down) / 2
	case hasUp:
		return up - middle
	case hasDown:
		return middle - down
	}
	return middle
}
