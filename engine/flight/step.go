package flight

import "math"

// The local error allowed a step, relative to the size of each part of the
// state. Fine keeps times good to about 1e-11 s; coarse is for the way there
// and for differences as large as an uncertainty.
const (
	fine   = 1e-12
	coarse = 1e-8
)

// mostSteps ends the following of a ball that has all but stopped.
const mostSteps = 200

// upright is the slope from which a ball gets no nearer the target.
const upright = 1e3

// follow carries the ball from its release over a distance in metres, by the
// Dormand–Prince 5(4) pair with step control (Dormand & Prince 1980; Hairer,
// Nørsett & Wanner I, II.5). It stops early, with reached false, when the ball
// has fallen to the floor height or goes straight up or down.
func (a air) follow(s state, distance, floor, tolerance float64) (end state, reached bool) {
	var first, last, next state
	a.rate(&s, &first)
	x, h := 0.0, distance/4
	for range mostSteps {
		final := h >= distance-x
		if final {
			h = distance - x
		}
		miss := a.step(&s, &first, &next, &last, h, distance) / tolerance
		if miss <= 1 {
			s, first, x = next, last, x+h
			if final {
				return s, true
			}
			if s.y < floor || math.Abs(s.p) > upright {
				return s, false
			}
		}
		h *= rescale(miss)
	}
	return s, false
}

// rescale is the factor from one step to the next: order 5, kept within 0.2 and 4.
func rescale(miss float64) float64 {
	if !(miss < math.Inf(1)) {
		return 0.2
	}
	return min(4, max(0.2, 0.9*math.Pow(miss, -0.2)))
}

// step tries one step of h from s, whose rate is k1, and leaves the new state
// and its rate in next and k7. It returns the error relative to the state.
func (a air) step(s, k1, next, k7 *state, h, distance float64) float64 {
	var k2, k3, k4, k5, k6, at state
	at = *s
	at.add(h*(1.0/5), k1)
	a.rate(&at, &k2)
	at = *s
	at.add(h*(3.0/40), k1)
	at.add(h*(9.0/40), &k2)
	a.rate(&at, &k3)
	at = *s
	at.add(h*(44.0/45), k1)
	at.add(h*(-56.0/15), &k2)
	at.add(h*(32.0/9), &k3)
	a.rate(&at, &k4)
	at = *s
	at.add(h*(19372.0/6561), k1)
	at.add(h*(-25360.0/2187), &k2)
	at.add(h*(64448.0/6561), &k3)
	at.add(h*(-212.0/729), &k4)
	a.rate(&at, &k5)
	at = *s
	at.add(h*(9017.0/3168), k1)
	at.add(h*(-355.0/33), &k2)
	at.add(h*(46732.0/5247), &k3)
	at.add(h*(49.0/176), &k4)
	at.add(h*(-5103.0/18656), &k5)
	a.rate(&at, &k6)
	*next = *s
	next.add(h*(35.0/384), k1)
	next.add(h*(500.0/1113), &k3)
	next.add(h*(125.0/192), &k4)
	next.add(h*(-2187.0/6784), &k5)
	next.add(h*(11.0/84), &k6)
	a.rate(next, k7)
	var e state // fifth order less fourth
	e.add(h*(71.0/57600), k1)
	e.add(h*(-71.0/16695), &k3)
	e.add(h*(71.0/1920), &k4)
	e.add(h*(-17253.0/339200), &k5)
	e.add(h*(22.0/525), &k6)
	e.add(h*(-1.0/40), k7)
	return e.over(next, distance)
}

// add adds f times another state (a rate) to s.
func (s *state) add(f float64, r *state) {
	s.y += f * r.y
	s.p += f * r.p
	s.q += f * r.q
	s.t += f * r.t
	s.dy += f * r.dy
	s.dp += f * r.dp
	s.dq += f * r.dq
	s.dt += f * r.dt
}

// over is the largest part of an error relative to the state. The
// derivatives only steer the search for the angle and are not counted.
func (s *state) over(at *state, distance float64) float64 {
	return max(
		math.Abs(s.y)/(distance*(1+math.Abs(at.p))),
		math.Abs(s.p)/(1+math.Abs(at.p)),
		math.Abs(s.q/at.q),
		math.Abs(s.t/(distance*at.q)),
	)
}
