package marks

import (
	"math"
	"testing"

	"rootcue/engine/quantity"
)

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if math.Abs(got-want) > relative*math.Abs(want)+1e-15 {
		t.Errorf("%s = %.10g, want %.10g", what, got, want)
	}
}

// timed is a camera at the side with nothing but a clock.
func timed(fps float64, frames map[Moment]int) Camera {
	c := Camera{FPS: fps, HasFPS: true}
	for m, n := range frames {
		c.Frames[m] = Frame{n, true}
	}
	return c
}

// deriveAll derives and fails on any problem.
func deriveAll(t *testing.T, set Setting, cams ...Camera) (map[string]quantity.Value, []Note) {
	t.Helper()
	var pool quantity.Pool
	out, notes, problems := Derive(cams, set, NewInputs(&pool), "/reps/0/marks")
	if len(problems) > 0 {
		t.Fatalf("%+v", problems)
	}
	values := map[string]quantity.Value{}
	for _, d := range out {
		values[d.Measure] = d.Value
	}
	return values, notes
}

// JCGM 100:2008 (GUM) 4.3.7: a value known only to lie in an interval of
// width w has u = w/√12; a difference of two such, each in its own frame, has
// w/√6: 13.608, 6.804, 3.402 and 1.701 ms (recomputed to ten digits).
func TestFrameInterval(t *testing.T) {
	for fps, want := range map[float64]float64{30: 0.01360827635, 60: 0.006804138174, 120: 0.003402069087, 240: 0.001701034544} {
		v, _ := deriveAll(t, Setting{}, timed(fps, map[Moment]int{Catch: 10, Release: 10 + int(fps), Arrival: 10 + int(2.4*fps)}))
		near(t, "u of an exchange", v["exchange_time"].U(), want, 1e-9)
		near(t, "exchange", v["exchange_time"].X, 1, 1e-12)
		if got := len(v["pop_time"].Parts); got != 2 {
			t.Errorf("pop_time has %d inputs, want its two end events", got)
		}
		near(t, "u of a pop time", v["pop_time"].U(), want, 1e-9)
	}
}

// Exchange and flight share the release: r = u(x,y)/(u(x)u(y)) = −½
// (JCGM 100:2008, 5.2.2), and their sum has the uncertainty of the pop time.
func TestExchangeAndFlightShareTheRelease(t *testing.T) {
	v, _ := deriveAll(t, Setting{}, timed(120, map[Moment]int{Catch: 118, Release: 238, Arrival: 412}))
	x, f := v["exchange_time"], v["flight_time"]
	near(t, "r", quantity.Covariance(x, f)/(x.U()*f.U()), -0.5, 1e-12)
	sum := quantity.Propagate(func(a []float64) float64 { return a[0] + a[1] }, []quantity.Value{x, f}, make([]float64, 2), nil)
	near(t, "u of the sum", sum.U(), v["pop_time"].U(), 1e-12)
	near(t, "sum", sum.X, v["pop_time"].X, 1e-12)
}

// An angle between two arms of 100 px whose three points err by 2 px in each
// coordinate: 2.292° at 90°, 2.807° at 180° (first-order propagation, JCGM
// 100:2008 5.1.2; closed form u²(2/r² + |a−b|²/r⁴), recomputed).
func TestThreePointAngle(t *testing.T) {
	for _, c := range []struct{ bend, u float64 }{{90, 2.291831181}, {0, 2.806908487}, {30, 2.743516925}, {60, 2.562345156}} {
		turn := c.bend / degree
		camera := Camera{UPx: 2, HasUPx: true}
		camera.Points[FrontFootPlant] = &Points{
			Hip: {500, 400, true}, KneeBack: {500, 500, true},
			AnkleBack: {500 + 100*math.Sin(turn), 500 + 100*math.Cos(turn), true},
		}
		v, _ := deriveAll(t, Setting{}, camera)
		near(t, "u of the bend", v["knee_bend_plant"].U(), c.u, 1e-8)
		near(t, "bend", v["knee_bend_plant"].X, c.bend, 1e-9)
	}
}
