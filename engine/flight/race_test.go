package flight

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// stated is the race of the documentation: everything stated, the tag exact.
func statedRace() RaceInput {
	return RaceInput{
		Pop: Amount{2.05, 0.06}, Delivery: &Amount{1.35, 0.08}, Tag: &Amount{Value: 0.1}, Runner: &Amount{3.55, 0.12},
	}
}

func mustRace(t *testing.T, in RaceInput) RaceResult {
	t.Helper()
	out, err := Race(in)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestStatedRace(t *testing.T) {
	out := mustRace(t, statedRace())
	isNear(t, "margin", out.MarginS, 0.05, 1e-12)
	isNear(t, "u", out.US, math.Sqrt(0.06*0.06+0.08*0.08+0.12*0.12), 1e-15)
	isNear(t, "chance of an out", out.ChanceOut, distuv.UnitNormal.CDF(out.MarginS/out.US), 1e-12)
	if out.RunnerAtRelease != nil || out.Need != nil {
		t.Error("without an exchange nothing is known of the release")
	}
}

// Two normals. z = 1: 0.841344746 (any table of the normal distribution).
// Reliability handbooks' example: stress N(20, 6) against strength N(40, 7),
// P(failure) = P(strength < stress) = 0.0150297839.
func TestChanceOfTwoNormals(t *testing.T) {
	isNear(t, "z = 1", chance(1, 1), 0.841344746, 5e-10)
	isNear(t, "stress above strength", chance(20-40, math.Hypot(6, 7)), 0.0150297839, 5e-11)
}

func TestChanceWithoutUncertainty(t *testing.T) {
	for margin, want := range map[float64]float64{0.01: 1, 0: 0, -0.01: 0} {
		if got := chance(margin, 0); got != want {
			t.Errorf("margin %g: chance %g, want %g; a tie is safe", margin, got, want)
		}
	}
}

// The chance is the share of races won when each time is drawn from its normal
// distribution; the model's, with a spread small enough for first order.
// 200 000 fixed draws: four standard errors are below 0.005.
func TestRaceAgreesWithDraws(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	draw := func(a Amount) float64 { return a.Value + a.U*random.NormFloat64() }
	share := func(in RaceInput, runner func() float64) float64 {
		won := 0
		const n = 200_000
		for range n {
			if runner() > draw(*in.Delivery)+draw(in.Pop)+draw(*in.Tag) {
				won++
			}
		}
		return float64(won) / n
	}
	in := statedRace()
	out := mustRace(t, in)
	isNear(t, "stated runner", share(in, func() float64 { return draw(*in.Runner) }), out.ChanceOut, 0.005)

	r := testRunner()
	r.TopSpeed.U, r.Tau.U = 0.01*r.TopSpeed.Value, 0.03
	in = RaceInput{Pop: Amount{2.35, 0.06}, Delivery: &DefaultDelivery, Tag: &DefaultTag, Model: &r}
	out = mustRace(t, in)
	isNear(t, "runner from the model", share(in, func() float64 {
		return draw(r.Reaction) + runTime(r.BasePath.Value-r.Lead.Value, draw(r.TopSpeed), draw(r.Tau))
	}), out.ChanceOut, 0.005)
}

func TestRaceDefaultsOnlyWhereLeftOut(t *testing.T) {
	in := statedRace()
	in.Delivery, in.Tag = nil, nil
	out := mustRace(t, in)
	isNear(t, "margin", out.MarginS, 3.55-1.35-2.05-0.10, 1e-12)
	isNear(t, "u", out.US, math.Sqrt(0.06*0.06+0.08*0.08+0.03*0.03+0.12*0.12), 1e-15)
}

func TestRaceWithoutLeads(t *testing.T) {
	in := RaceInput{Pop: Amount{Value: 2.5}, Model: at(testRunner()), NoLeads: true}
	out := mustRace(t, in)
	whole := 0.2 + runTime(80*ft, 22*ft, 0.6)
	isNear(t, "runner over the whole base path", out.Runner.Value, whole, 1e-12)
	isNear(t, "margin without delivery", out.MarginS, whole-2.5-0.1, 1e-12)
	if in.Model.Lead.Value == 0 {
		t.Error("the caller's model was changed")
	}
}

// Where the runner is when the ball leaves the hand, by integrating the run.
func TestRunnerAtRelease(t *testing.T) {
	in := RaceInput{Pop: Amount{Value: 2.1}, Model: at(testRunner()), Exchange: &Amount{Value: 0.9}}
	out := mustRace(t, in)
	running := 1.35 + 0.9 - 0.2
	covered := *out.RunnerAtRelease * 70 * ft
	isNear(t, "time to the place of the release", runInTime(covered, 22*ft, 0.6), running, 1e-5)
	in.Runner, in.Model = &out.Runner, nil // the share needs only the time
	isNear(t, "share", *mustRace(t, in).RunnerAtRelease, *out.RunnerAtRelease, 1e-12)

	in.Delivery = &Amount{}
	in.Exchange = &Amount{Value: 0.15}
	isNear(t, "before the reaction", *mustRace(t, in).RunnerAtRelease, 0, 0)
	in.Delivery, in.Exchange, in.Pop = &Amount{Value: 3}, &Amount{Value: 1}, Amount{Value: 1}
	isNear(t, "already there", *mustRace(t, in).RunnerAtRelease, 1, 0)
}

// What is needed makes the race even.
func TestNeedMakesTheRaceEven(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		path := Path{80 * ft * math.Sqrt2, 1.55, 0.3}
		ball := Default()
		exchange := rapid.Float64Range(0.7, 1.1).Draw(t, "exchange")
		flight := rapid.Float64Range(1.2, 2).Draw(t, "flight")
		in := RaceInput{
			Pop: Amount{exchange + flight, 0.05}, Exchange: &Amount{exchange, 0.05},
			Runner: &Amount{rapid.Float64Range(3.2, 4.2).Draw(t, "runner"), 0.1}, Ball: &ball, Path: &path,
		}
		out, err := Race(in)
		if err != nil {
			t.Fatal(err)
		}
		if e := out.Need.Exchange; e != nil {
			even := in
			even.Pop.Value = e.Value + flight
			even.Exchange = nil
			if got, err := Race(even); err != nil || math.Abs(got.MarginS) > 1e-9 || e.U != out.US {
				t.Fatalf("exchange %+v gives %+v, %v", e, got, err)
			}
		} else if exchange+out.MarginS > 0 {
			t.Fatalf("no exchange, though %g s would do", exchange+out.MarginS)
		}
		if throw := out.Need.Throw; throw != nil && throw.Carries {
			even := in
			even.Pop.Value = exchange + throw.TimeS
			got, err := Race(even)
			again, err2 := Solve(ball, path, throw.SpeedMps)
			if err != nil || err2 != nil || math.Abs(got.MarginS) > 1e-8 || math.Abs(again.TimeS-throw.TimeS) > 1e-8 {
				t.Fatalf("%+v gives %+v, %v, %v", throw, got, err, err2)
			}
		}
	})
}

func TestNothingMakesItEven(t *testing.T) {
	in := statedRace()
	in.Exchange, in.Ball, in.Path = &Amount{Value: 0.9}, at(Default()), &Path{34, 1.5, 0.3}
	in.Runner = &Amount{Value: 2}
	need := mustRace(t, in).Need
	if need.Exchange != nil || need.Throw != nil {
		t.Errorf("a lost race needs %+v", need)
	}
	in.Ball, in.Path, in.Runner = nil, nil, &Amount{Value: 3.5}
	if need := mustRace(t, in).Need; need.Exchange == nil || need.Throw != nil {
		t.Errorf("without a path %+v", need)
	}
}

func TestRaceIsMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := statedRace()
		in.Pop.Value = rapid.Float64Range(1.5, 3).Draw(t, "pop")
		a, err := Race(in)
		in.Pop.Value += 0.01
		b, err2 := Race(in)
		if err != nil || err2 != nil || b.MarginS >= a.MarginS || b.ChanceOut > a.ChanceOut {
			t.Fatalf("slower pop: %+v, then %+v", a, b)
		}
		mirrored := distuv.Normal{Mu: 0, Sigma: 1}.CDF(-a.MarginS / a.US)
		if math.Abs(a.ChanceOut+mirrored-1) > 1e-12 {
			t.Fatalf("out %g and safe %g do not add up", a.ChanceOut, mirrored)
		}
	})
}

func TestRaceOutOfRange(t *testing.T) {
	for _, tt := range []struct {
		edit func(*RaceInput)
		want string
	}{
		{func(in *RaceInput) { in.Pop.Value = -1 }, "pop time: found -1 s, wanted a number from 0.1 to 20 s"},
		{func(in *RaceInput) { in.Pop.U = math.Inf(1) }, "uncertainty of the pop time: found +Inf s, wanted a number from 0 to 5 s"},
		{func(in *RaceInput) { in.Delivery = &Amount{Value: 9} }, "delivery: found 9 s, wanted a number from 0 to 5 s"},
		{func(in *RaceInput) { in.Tag = &Amount{Value: -0.1} }, "tag: found -0.1 s, wanted a number from 0 to 2 s"},
		{func(in *RaceInput) { in.Runner = &Amount{Value: math.NaN()} }, "runner's time: found NaN s, wanted a number from 0.5 to 20 s"},
		{func(in *RaceInput) { in.Exchange = &Amount{Value: 2.5} }, "exchange: found 2.5 s, wanted a number from 0.01 to 2.05 s"},
		{func(in *RaceInput) { in.Model = &Runner{} }, "time constant of the start: found 0 s, wanted a number from 0.01 to 5 s"},
		{func(in *RaceInput) { in.Ball, in.Path = at(Default()), &Path{} }, "distance: found 0 m, wanted a number from 1 to 200 m"},
		{func(in *RaceInput) { in.Runner = nil }, "base path: found 0 m, wanted a number from 5 to 50 m"},
	} {
		in := statedRace()
		tt.edit(&in)
		if _, err := Race(in); err == nil || err.Error() != tt.want {
			t.Errorf("got %v, want %s", err, tt.want)
		}
	}
}

func BenchmarkRace(b *testing.B) {
	in := RaceInput{Pop: Amount{2.1, 0.06}, Model: at(testRunner())}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Race(in); err != nil {
			b.Fatal(err)
		}
	}
}
