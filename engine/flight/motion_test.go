package flight

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// drawPath and drawBall give throws as they come up on a diamond.
func drawPath(t *rapid.T) Path {
	return Path{
		DistanceM: rapid.Float64Range(5, 45).Draw(t, "distance"),
		ReleaseM:  rapid.Float64Range(0.5, 2.2).Draw(t, "release"),
		TargetM:   rapid.Float64Range(0, 2.5).Draw(t, "target"),
	}
}

func drawBall(t *rapid.T) Ball {
	ball := fixed()
	ball.CD = rapid.Float64Range(0, 0.6).Draw(t, "cd")
	ball.Rho = rapid.Float64Range(0, 1.4).Draw(t, "rho")
	ball.Lift = rapid.Float64Range(-0.1, 0.3).Draw(t, "lift")
	return ball
}

// inTime follows a throw in time with small fixed classical Runge–Kutta steps in
// Cartesian coordinates, and returns height, time, speed and the work of drag
// per mass at the distance: another method, other variables, no shared code
// but the two coefficients.
func inTime(ball Ball, path Path, speed, angle float64) (height, time, arrival, work float64) {
	k, l := ball.drag(), ball.lift()
	type vector [5]float64 // x, y, v_x, v_y, work
	rate := func(s vector) vector {
		v := math.Hypot(s[2], s[3])
		return vector{s[2], s[3], -k*v*s[2] - l*v*s[3], -9.80665 - k*v*s[3] + l*v*s[2], k * v * v * v}
	}
	step := func(s vector, h float64) vector {
		plus := func(a vector, f float64, b vector) vector {
			for i := range a {
				a[i] += f * b[i]
			}
			return a
		}
		k1 := rate(s)
		k2 := rate(plus(s, h/2, k1))
		k3 := rate(plus(s, h/2, k2))
		k4 := rate(plus(s, h, k3))
		return plus(plus(plus(plus(s, h/6, k1), h/3, k2), h/3, k3), h/6, k4)
	}
	s := vector{0, path.ReleaseM, speed * math.Cos(angle), speed * math.Sin(angle), 0}
	const h = 1.0 / 1024
	for s[0]+1.5*h*s[2] < path.DistanceM {
		s, time = step(s, h), time+h
	}
	for range 8 { // Newton on the last step
		dt := (path.DistanceM - s[0]) / s[2]
		s, time = step(s, dt), time+dt
	}
	return s[1], time, math.Hypot(s[2], s[3]), s[4]
}

func TestThrowsAgreeWithIntegrationInTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ball, path := drawBall(t), drawPath(t)
		throw, err := Solve(ball, path, rapid.Float64Range(15, 45).Draw(t, "speed"))
		if err != nil {
			t.Fatal(err)
		}
		if !throw.Carries {
			return
		}
		height, time, arrival, _ := inTime(ball, path, throw.SpeedMps, throw.AngleDeg*math.Pi/180)
		if math.Abs(height-path.TargetM) > 1e-8 || math.Abs(time-throw.TimeS) > 1e-9 || math.Abs(arrival-throw.ArrivalMps) > 1e-8 {
			t.Fatalf("height %g at %g s and %g m/s, solved %g m, %+v", height, time, arrival, path.TargetM, throw)
		}
	})
}

// What drag takes is what the ball loses: ½v₀² + g·y₀ = ½v₁² + g·y₁ + work.
func TestDragTakesTheEnergyThatIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ball, path := drawBall(t), drawPath(t)
		throw, err := Solve(ball, path, rapid.Float64Range(25, 45).Draw(t, "speed"))
		if err != nil || !throw.Carries {
			return
		}
		_, _, _, work := inTime(ball, path, throw.SpeedMps, throw.AngleDeg*math.Pi/180)
		lost := (throw.SpeedMps*throw.SpeedMps-throw.ArrivalMps*throw.ArrivalMps)/2 + Gravity*(path.ReleaseM-path.TargetM)
		if math.Abs(work-lost) > 1e-7*(1+lost) {
			t.Fatalf("work %g, lost %g J/kg", work, lost)
		}
	})
}

// In a vacuum the slope of the lower of the two parabolas through the target
// has a closed form.
func TestVacuumParabola(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ball, path := fixed(), drawPath(t)
		ball.CD = 0
		v := rapid.Float64Range(10, 45).Draw(t, "speed")
		throw, err := Solve(ball, path, v)
		if err != nil {
			t.Fatal(err)
		}
		c := Gravity * path.DistanceM * path.DistanceM / (2 * v * v)
		root := path.DistanceM*path.DistanceM - 4*c*(c+path.TargetM-path.ReleaseM)
		if math.Abs(root) < 1e-6 {
			return // on the edge
		}
		if throw.Carries != (root > 0) {
			t.Fatalf("carries %v, discriminant %g", throw.Carries, root)
		}
		if best := max(0, path.ReleaseM+path.DistanceM*path.DistanceM/(4*c)-c); !throw.Carries && math.Abs(throw.BestHeightM-best) > 1e-6 {
			t.Fatalf("best height %g, closed form %g", throw.BestHeightM, best)
		}
		if throw.Carries {
			slope := (path.DistanceM - math.Sqrt(root)) / (2 * c)
			if math.Abs(throw.AngleDeg-degrees(math.Atan(slope))) > 1e-8 {
				t.Fatalf("angle %.12g, closed form %.12g", throw.AngleDeg, degrees(math.Atan(slope)))
			}
		}
	})
}

// A fast flat throw takes the straight line's time (e^{kx} − 1)/(k v₀).
func TestFastThrowIsALineWithDrag(t *testing.T) {
	ball, path := fixed(), Path{30, 1, 1}
	k := ball.drag()
	for _, v := range []float64{50, 100} {
		throw := mustSolve(t, ball, path, v)
		isNear(t, "time", throw.TimeS, math.Expm1(k*30)/(k*v), 30/v*25/(v*v))
	}
}

// The derivatives that steer the search are those of the height and the time.
func TestDerivativesByLaunchSlope(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ball, path := drawBall(t), drawPath(t)
		in := situation{ball: ball, path: path, speed: rapid.Float64Range(30, 45).Draw(t, "speed")}
		slope := rapid.Float64Range(-0.2, 0.8).Draw(t, "slope")
		const h = 1e-5
		at, _ := in.shoot(slope, fine)
		up, _ := in.shoot(slope+h, fine)
		down, _ := in.shoot(slope-h, fine)
		for _, d := range [][2]float64{{at.dy, up.y - down.y}, {at.dp, up.p - down.p}, {at.dq, up.q - down.q}, {at.dt, up.t - down.t}} {
			if math.Abs(d[0]-d[1]/(2*h)) > 1e-5*(1+math.Abs(d[0])) {
				t.Fatalf("derivative %g, by differences %g", d[0], d[1]/(2*h))
			}
		}
	})
}

func TestSlowBallStopsAtTheFloor(t *testing.T) {
	in := situation{ball: fixed(), path: Path{30, 1, 1}, speed: 0.5}
	end, reached := in.shoot(0, fine)
	if reached || !(end.y < -30) {
		t.Errorf("reached %v at height %g", reached, end.y)
	}
}
