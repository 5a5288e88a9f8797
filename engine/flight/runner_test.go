package flight

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// runInTime integrates the runner's start, dv/dt = (v_max − v)/τ, in small
// steps of the midpoint rule until the distance is covered.
func runInTime(distance, top, tau float64) float64 {
	const h = 1e-4
	x, v, t := 0.0, 0.0, 0.0
	for {
		middle := v + h/2*(top-v)/tau
		if x+h*middle >= distance {
			return t + (distance-x)/middle
		}
		x, v, t = x+h*middle, v+h*(top-middle)/tau, t+h
	}
}

func TestRunTimeAgreesWithIntegration(t *testing.T) {
	for _, tt := range []struct{ distance, top, tau float64 }{
		{50 * ft, 17 * ft, 0.6}, {62 * ft, 19 * ft, 0.6}, {70 * ft, 22 * ft, 0.6}, {80 * ft, 25 * ft, 0.6}, {2, 8, 1.5}, {30, 7, 0.05},
	} {
		isNear(t, "time", runTime(tt.distance, tt.top, tt.tau), runInTime(tt.distance, tt.top, tt.tau), 1e-6)
	}
}

func TestRunTimeInvertsTheDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		top, tau := rapid.Float64Range(1, 12).Draw(t, "top"), rapid.Float64Range(0.01, 5).Draw(t, "tau")
		distance := rapid.Float64Range(0.01, 50).Draw(t, "distance")
		at := runTime(distance, top, tau)
		if back := top * (at - tau*(1-math.Exp(-at/tau))); math.Abs(back-distance) > 1e-9 {
			t.Fatalf("after %g s the runner is at %g, not %g", at, back, distance)
		}
		if at < distance/top || at > distance/top+tau {
			t.Fatalf("%g s is outside %g to %g", at, distance/top, distance/top+tau)
		}
	})
}

func testRunner() Runner {
	return Runner{
		BasePath: Amount{Value: 80 * ft}, Lead: Amount{Value: 10 * ft}, TopSpeed: Amount{22 * ft, 0.08 * 22 * ft},
		Tau: DefaultTau, Reaction: DefaultReaction,
	}
}

// Reaction moves the time one to one, τ nearly so (the runner ends τ behind),
// and the top speed by −d/v² (JCGM 100:2008 5.1.2).
func TestRunnerTimeAndUncertainty(t *testing.T) {
	r := testRunner()
	got, err := r.Time()
	if err != nil {
		t.Fatal(err)
	}
	isNear(t, "time", got.Value, 0.2+runInTime(70*ft, 22*ft, 0.6), 1e-6)
	at := got.Value - 0.2
	byReaction, byTau := 0.05, 0.1*(1-math.Exp(-at/0.6)*(1+at/0.6))/(1-math.Exp(-at/0.6))
	bySpeed := 0.08 * (at - 0.6*(1-math.Exp(-at/0.6))) / (1 - math.Exp(-at/0.6))
	isNear(t, "u", got.U, math.Sqrt(byReaction*byReaction+byTau*byTau+bySpeed*bySpeed), 2e-3)
	r.TopSpeed.U, r.Tau.U, r.Reaction.U = 0, 0, 0
	if exact, _ := r.Time(); exact.U != 0 || exact.Value != got.Value {
		t.Errorf("exact runner: %+v", exact)
	}
}

// A tenth of a second is 1.8 to 2.2 ft of runner to age 12 and about 2.5 ft at
// 15 to 18 (common practice): a tenth at the default top speeds, within a tenth.
func TestATenthOfARunner(t *testing.T) {
	for age, want := range map[int][2]float64{8: {1.7, 2.2}, 12: {1.7, 2.2}, 16: {2.4, 2.6}} {
		r, _, err := RunnerFor(age)
		if err != nil {
			t.Fatal(err)
		}
		if tenth := 0.1 * r.TopSpeed.Value / ft; tenth < want[0] || tenth > want[1] {
			t.Errorf("age %d: %.2f ft a tenth, want %v", age, tenth, want)
		}
	}
}

func TestRunnerForEachAge(t *testing.T) {
	for _, tt := range []struct {
		from, to             int
		base, lead, topSpeed float64 // ft, ft, ft/s
		leads                bool
	}{{8, 10, 60, 8, 17, false}, {11, 12, 70, 8, 19, true}, {13, 14, 80, 10, 22, true}, {15, 18, 90, 10, 25, true}} {
		for age := tt.from; age <= tt.to; age++ {
			r, leads, err := RunnerFor(age)
			if err != nil || leads != tt.leads {
				t.Errorf("age %d: leads %v, %v", age, leads, err)
			}
			isNear(t, "base path", r.BasePath.Value, tt.base*ft, 1e-12)
			isNear(t, "lead", r.Lead.Value, tt.lead*ft, 1e-12)
			isNear(t, "top speed", r.TopSpeed.Value, tt.topSpeed*ft, 1e-12)
			isNear(t, "u of the top speed", r.TopSpeed.U, 0.08*tt.topSpeed*ft, 1e-12)
		}
	}
	for _, age := range []int{7, 19, -1} {
		if _, _, err := RunnerFor(age); err == nil {
			t.Errorf("age %d has a default runner", age)
		}
	}
}

func TestRunnerOutOfRange(t *testing.T) {
	for _, tt := range []struct {
		edit func(*Runner)
		want string
	}{
		{func(r *Runner) { r.BasePath.Value = 80 }, "base path: found 80 m, wanted a number from 5 to 50 m"},
		{func(r *Runner) { r.BasePath.U = 2 }, "uncertainty of the base path: found 2 m, wanted a number from 0 to 1 m"},
		{func(r *Runner) { r.Lead.Value = -1 }, "lead: found -1 m, wanted a number from 0 to 22.384 m"},
		{func(r *Runner) { r.Lead.U = -1 }, "uncertainty of the lead: found -1 m, wanted a number from 0 to 1 m"},
		{func(r *Runner) { r.TopSpeed.Value = 0 }, "top speed: found 0 m/s, wanted a number from 1 to 12 m/s"},
		{func(r *Runner) { r.TopSpeed = Amount{6, 4} }, "uncertainty of the top speed: found 4 m/s, wanted a number from 0 to 3 m/s"},
		{func(r *Runner) { r.Tau.Value = 0 }, "time constant of the start: found 0 s, wanted a number from 0.01 to 5 s"},
		{func(r *Runner) { r.Tau = Amount{1, 1} }, "uncertainty of the time constant: found 1 s, wanted a number from 0 to 0.9 s"},
		{func(r *Runner) { r.Reaction.Value = math.NaN() }, "reaction: found NaN s, wanted a number from 0 to 3 s"},
		{func(r *Runner) { r.Reaction.U = -1 }, "uncertainty of the reaction: found -1 s, wanted a number from 0 to 3 s"},
	} {
		r := testRunner()
		tt.edit(&r)
		if _, err := r.Time(); err == nil || err.Error() != tt.want {
			t.Errorf("got %v, want %s", err, tt.want)
		}
	}
}
