package flight

import "math"

// state is the ball at one distance x from the release. With x instead of time
// as the independent variable every quantity is smooth and the flight ends
// exactly at the target. The last four are derivatives of the first four with
// respect to the launch slope at a fixed launch speed.
type state struct {
	y, p, q, t     float64 // height m; slope dy/dx; slowness 1/v_x s/m; time s
	dy, dp, dq, dt float64
}

// launch is the state at the release for a speed and a slope (tangent of the
// launch angle).
func launch(height, speed, slope float64) state {
	secant := math.Sqrt(1 + slope*slope)
	return state{
		y: height, p: slope, q: secant / speed,
		dp: 1, dq: slope / (secant * speed),
	}
}

// speed is the speed along the path, m/s.
func (s *state) speed() float64 { return math.Sqrt(1+s.p*s.p) / s.q }

// air holds the two coefficients of the equations of motion, 1/m.
type air struct{ drag, lift float64 }

// rate is d(state)/dx. From v̇_x = −(k v v_x + l v v_y), v̇_y = −g − k v v_y + l v v_x
// with p = v_y/v_x, q = 1/v_x, w = √(1+p²):
//
//	y' = p   p' = −g q² + l w³   q' = (k + l p) q w   t' = q
func (a air) rate(s, r *state) {
	w := math.Sqrt(1 + s.p*s.p)
	along := a.drag + a.lift*s.p
	r.y, r.t = s.p, s.q
	r.p = -Gravity*s.q*s.q + a.lift*w*w*w
	r.q = along * s.q * w
	r.dy, r.dt = s.dp, s.dq
	r.dp = -2*Gravity*s.q*s.dq + 3*a.lift*w*s.p*s.dp
	r.dq = along*w*s.dq + (a.lift*w+along*s.p/w)*s.q*s.dp
}
