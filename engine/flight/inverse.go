package flight

import "math"

// SpeedFor finds the launch speed of the flat throw that takes timeS to the
// target, to 1e-8 s, and the uncertainty of that speed. No flat throw takes
// longer than the slowest one that carries: then Carries is false, and
// SpeedMps and TimeS are those of that slowest throw, or 0 when the air lets no
// throw up to 1000 m/s arrive so soon. An error is a *RangeError.
func SpeedFor(ball Ball, path Path, timeS float64) (Throw, error) {
	in := situation{ball: ball, path: path, time: timeS, inverse: true}
	return in.checked(spread{cd: ball.UCD, rho: ball.URho})
}

// fastest and slowest bound the speeds that are tried, m/s.
const fastest, slowest = 1000.0, 0.01

// lineSpeed is the launch speed of a throw along a straight line with drag
// alone: t = (e^{kx} − 1)/(k v₀), solved for v₀.
func (in *situation) lineSpeed() float64 {
	k, x := in.ball.drag(), in.path.DistanceM
	if k*x < 1e-9 {
		return x / in.time
	}
	return min(fastest, math.Expm1(k*x)/(k*in.time))
}

// slowedTo finds the throw whose flight takes the situation's time, from a
// first guess of speed and slope and the relative width of the first bracket.
// It works in the slowness 1/v, in which the time is nearly a straight line.
func (in *situation) slowedTo(guess, slope, width, tolerance float64) (Throw, float64) {
	at := *in
	fast, slow := 1/(guess*(1+width)), (1+width)/guess
	early, best, slope := at.lateBy(fast, slope, tolerance)
	for early > 0 {
		if fast < 1/fastest {
			return Throw{}, slope
		}
		slow, fast = fast, fast/1.3
		early, best, slope = at.lateBy(fast, slope, tolerance)
	}
	late, _, _ := at.lateBy(slow, slope, tolerance)
	for late < 0 && slow < 1/slowest {
		fast, slow = slow, slow*1.3
		early, best, slope = at.lateBy(fast, slope, tolerance)
		late, _, _ = at.lateBy(slow, slope, tolerance)
	}
	earlyPull, latePull := early, late
	side := 0
	for range 100 {
		if slow-fast <= 1e-13*slow {
			break
		}
		try := (fast + slow) / 2
		if !math.IsInf(late, 1) {
			try = fast + (slow-fast)*earlyPull/(earlyPull-latePull)
		}
		by, throw, found := at.lateBy(try, slope, tolerance)
		if math.Abs(by) < 10*tolerance {
			return throw, found
		}
		if by < 0 {
			fast, best, slope, earlyPull = try, throw, found, by
			if side < 0 {
				latePull /= 2 // the Illinois rule: an end that stays put pulls less
			}
			side = -1
			continue
		}
		slow, late, latePull = try, by, by
		if side > 0 {
			earlyPull /= 2
		}
		side = 1
	}
	best.Carries = best.Carries && late >= 0 && !math.IsInf(late, 1)
	return best, slope
}

// lateBy is how much later than the situation's time a throw of a slowness
// arrives, in s; +Inf where it does not carry.
func (in *situation) lateBy(slowness, slope, tolerance float64) (float64, Throw, float64) {
	in.speed = 1 / slowness
	throw, slope := in.throw(slope, tolerance)
	if !throw.Carries {
		return math.Inf(1), throw, slope
	}
	return throw.TimeS - in.time, throw, slope
}
