package flight

import (
	"math"
	"testing"
)

const (
	mph = 1609.344 / 3600 // m/s, exact
	ft  = 0.3048          // m, exact
)

// isNear fails the test unless got is within tolerance of want.
func isNear(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.12g, want %.12g ± %g", what, got, want, tolerance)
	}
}

// fixed is the ball of the reference throws: the middle baseball, ρ 1.2,
// C_D 0.35, all exact.
func fixed() Ball { return Default().exact() }

func mustSolve(t *testing.T, ball Ball, path Path, speed float64) Throw {
	t.Helper()
	throw, err := Solve(ball, path, speed)
	if err != nil {
		t.Fatal(err)
	}
	return throw
}

// Reference throws: 0.145 kg, 9.125 in, g 9.80665, release 5 ft, target 1 ft
// up, lower angle, no lift. From three independent integrators that agree to
// 1e-11 s; the last digit printed is rounded.
func TestReferenceThrows(t *testing.T) {
	vacuum := fixed()
	vacuum.CD = 0
	for _, tt := range []struct {
		name               string
		ball               Ball
		mph, feet          float64
		wantDeg, wantTimeS float64
	}{
		{"50 mph to 98.99 ft", fixed(), 50, 98.99, 18.532956, 1.5684168},
		{"60 mph to 84.85 ft", fixed(), 60, 84.85, 8.773528, 1.0585019},
		{"60 mph to 127.28 ft", fixed(), 60, 127.28, 17.359969, 1.7167037},
		{"60 mph to 127.28 ft without drag", vacuum, 60, 127.28, 14.005429, 1.4906773},
	} {
		t.Run(tt.name, func(t *testing.T) {
			throw := mustSolve(t, tt.ball, Path{tt.feet * ft, 5 * ft, 1 * ft}, tt.mph*mph)
			if !throw.Carries {
				t.Fatal("does not carry")
			}
			isNear(t, "angle", throw.AngleDeg, tt.wantDeg, 5.1e-7)
			isNear(t, "time", throw.TimeS, tt.wantTimeS, 5.1e-8)
		})
	}
}

func TestReferenceThrowThatDoesNotCarry(t *testing.T) {
	throw := mustSolve(t, fixed(), Path{98.99 * ft, 5 * ft, 1 * ft}, 40*mph)
	if want := (Throw{SpeedMps: 40 * mph}); throw != want {
		t.Errorf("got %+v, want %+v: the ball meets the ground first", throw, want)
	}
}

// Speeds that carry to 0.3 m at second, release 0.95 of the stature (statures
// near the medians of the ages): own solution of the same model by a separate
// program, two decimals.
func TestSpeedsThatCarryToSecond(t *testing.T) {
	for _, tt := range []struct {
		mph, baseFt, stature, wantS float64
	}{
		{40, 60, 1.34, 1.78},
		{46, 60, 1.48, 1.44},
		{46, 70, 1.48, 1.77},
		{56, 80, 1.63, 1.61},
		{56, 90, 1.63, 1.88},
		{66, 90, 1.75, 1.53},
	} {
		throw := mustSolve(t, fixed(), Path{tt.baseFt * ft * math.Sqrt2, 0.95 * tt.stature, 0.3}, tt.mph*mph)
		if !throw.Carries {
			t.Errorf("%g mph on %g ft does not carry", tt.mph, tt.baseFt)
			continue
		}
		isNear(t, "time", throw.TimeS, tt.wantS, 0.0151)
	}
	if throw := mustSolve(t, fixed(), Path{60 * ft * math.Sqrt2, 0.95 * 1.34, 0.3}, 36*mph); throw.Carries {
		t.Errorf("36 mph carries to second on 60 ft: %+v", throw)
	}
}

// Home to second is the diagonal of the base square. Official Baseball Rules
// 2.01: 127 ft 3 3/8 in from the apex of home plate to the centre of second
// base with 90 ft bases.
func TestDistancesToSecond(t *testing.T) {
	for base, want := range map[float64]float64{60: 84.8528, 70: 98.9949, 80: 113.1371, 90: 127.2792} {
		isNear(t, "distance in ft", base*math.Sqrt2, want, 5e-5)
	}
	isNear(t, "Official Baseball Rules 2.01, in", 90*12*math.Sqrt2, 127*12+3+3.0/8, 1.0/16)
	age14 := 14
	_, err := RaceAnswer(RaceRequest{Pop: SI(2), Exchange: SI(0.9), Age: &age14})
	if err != nil {
		t.Fatal(err)
	}
	reply, err := RaceAnswer(RaceRequest{Pop: SI(2), Exchange: SI(0.9), BasePath: &Quantity{Value: 90, Unit: "ft"}, TopSpeed: SI(7)})
	if err != nil {
		t.Fatal(err)
	}
	for _, in := range reply.Inputs {
		if in.Name == "distance" {
			isNear(t, "distance of the race", in.Value, (127*12+3+3.0/8)*0.0254, 0.0254/16)
			return
		}
	}
	t.Error("the race does not show the distance it used")
}

// Straight line with drag alone, a worked problem of applied calculus:
// c = 0.002 /ft, 132 ft/s, 60 ft: 0.48294 s, 117.073 ft/s at the end.
func TestLineWithDragWorkedProblem(t *testing.T) {
	// Thrown level at a target as far down as gravity takes it, the ball follows
	// the line only to first order; so compare with gravity all but absent: a
	// very fast throw scales, since t·v₀ depends on k·x alone.
	ball := fixed()
	ball.CD = 0.002 / ft * 2 * ball.MassKg / (ball.Rho * ball.area())
	isNear(t, "k", ball.drag(), 0.002/ft, 1e-12)
	in := situation{ball: ball, path: Path{DistanceM: 60 * ft}, inverse: true, time: 0.48294}
	isNear(t, "speed for the time, ft/s", in.lineSpeed()/ft, 132, 0.002)
	scale := 1e4
	a := air{drag: ball.drag()}
	end, reached := a.follow(launch(0, scale*132*ft, 0), 60*ft, -1, fine)
	if !reached {
		t.Fatal("did not arrive")
	}
	isNear(t, "time", end.t*scale, 0.48294, 5e-6)
	isNear(t, "speed, ft/s", end.speed()/scale/ft, 117.073, 5e-4)
}

// Mean of about 40 000 tracked pitches: 87.6 mph at release, 78.8 mph at the
// plate (Fox 2007). C_D 0.35 to 0.41 over 53.6 ft must bracket it.
func TestTrackedPitchesBracketTheDrag(t *testing.T) {
	arrival := func(cd float64) float64 {
		ball := fixed()
		ball.CD = cd
		return mustSolve(t, ball, Path{53.6 * ft, 6 * ft, 2.5 * ft}, 87.6*mph).ArrivalMps / mph
	}
	if slow, fast := arrival(0.41), arrival(0.35); !(slow < 78.8 && 78.8 < fast) {
		t.Errorf("arrival %.2f to %.2f mph does not bracket 78.8", slow, fast)
	}
}

// Official Baseball Rules 3.01: 5 to 5 1/4 oz, 9 to 9 1/4 in.
func TestDefaultBallIsRegulation(t *testing.T) {
	const ounce, inch = 0.028349523125, 0.0254 // kg, m, exact
	ball := Default()
	if ball.MassKg < 5*ounce || ball.MassKg > 5.25*ounce {
		t.Errorf("mass %g kg is out of the rule", ball.MassKg)
	}
	if ball.CircumferenceM < 9*inch || ball.CircumferenceM > 9.25*inch {
		t.Errorf("circumference %g m is out of the rule", ball.CircumferenceM)
	}
	isNear(t, "cross-section", ball.area(), math.Pi*math.Pow(9.125*inch/(2*math.Pi), 2), 1e-15)
}
