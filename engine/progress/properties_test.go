package progress

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

func values(t *rapid.T, least, most int) []float64 {
	var out []float64
	for range rapid.IntRange(least, most).Draw(t, "n") {
		out = append(out, float64(rapid.IntRange(-20, 20).Draw(t, "value")))
	}
	return out
}

// TestTrendTurnsRoundWithTime: backwards in time, or upside down, S and slope
// change their sign and the chance stays; a shift changes nothing.
func TestTrendTurnsRoundWithTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := values(t, 2, 14)
		back, down, up := slices.Clone(v), slices.Clone(v), slices.Clone(v)
		slices.Reverse(back)
		for i := range v {
			down[i], up[i] = -v[i], v[i]+100
		}
		a := TrendOf(v)
		for name, b := range map[string]Trend{"backwards": TrendOf(back), "upside down": TrendOf(down)} {
			if b.S != -a.S || math.Abs(b.Slope+a.Slope) > 1e-12 || math.Abs(b.P-a.P) > 1e-12 || math.Abs(b.Z+a.Z) > 1e-12 {
				t.Fatalf("%s: %+v and %+v", name, a, b)
			}
		}
		if b := TrendOf(up); b.S != a.S || math.Abs(b.Slope-a.Slope) > 1e-12 || b.P != a.P {
			t.Fatalf("shifted: %+v and %+v", a, b)
		}
		if !(a.P > 0 && a.P <= 1) {
			t.Fatalf("a chance of %v", a.P)
		}
	})
}

func TestSlopeOfALineIsTheLines(t *testing.T) {
	for _, slope := range []float64{-2.5, 0, 0.125} {
		var v []float64
		for i := range 9 {
			v = append(v, 7+slope*float64(i))
		}
		v[4] += 1000 // one bad day does not move it
		near(t, "slope", TrendOf(v).Slope, slope)
	}
}

// TestExactAndNormalAgreeWhereBothServe: at ten sessions without ties the normal
// score is within a hundredth or so of the count.
func TestExactAndNormalAgreeWhereBothServe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var v []float64
		for _, k := range rapid.Permutation([]int{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}).Draw(t, "order") {
			v = append(v, float64(k))
		}
		got := TrendOf(v)
		if normal := 2 * distuv.UnitNormal.CDF(-math.Abs(got.Z)); !got.Exact || math.Abs(got.P-min(normal, 1)) > 0.02 {
			t.Fatalf("S %d: exact %v, normal %v", got.S, got.P, normal)
		}
	})
}

// Orders of n values by inversions (Mahonian numbers, a table in every text on
// permutations): n = 4 gives 1 3 5 6 5 3 1.
func TestMahonianNumbers(t *testing.T) {
	for n, want := range map[int][]float64{1: {1}, 2: {1, 1}, 3: {1, 2, 2, 1}, 4: {1, 3, 5, 6, 5, 3, 1}, 5: {1, 4, 9, 15, 20, 22, 20, 15, 9, 4, 1}} {
		if got := factorial(n); !slices.Equal(got, want) {
			t.Errorf("%d: got %v, want %v", n, got, want)
		}
	}
	if got := divide(factorial(4), factorial(2)); !slices.Equal(got, []float64{1, 2, 3, 3, 2, 1}) {
		t.Errorf("1 1 2 3: %v", got)
	}
}

func TestVarianceOfSWithTies(t *testing.T) {
	// n(n−1)(2n+5)/18 without ties; each run of t equal values takes its own share off.
	near(t, "no ties", variance(14, runs([]float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14})), 14*13*33/18.0)
	near(t, "a pair and a run of three", variance(8, runs([]float64{1, 1, 2, 3, 3, 3, 4, 5})), (8*7*21-2*1*9-3*2*11)/18.0)
}

// TestAChangeTurnsRound: from b to a is the opposite of from a to b.
func TestAChangeTurnsRound(t *testing.T) {
	opposite := map[Word]Word{Better: Worse, Worse: Better, NoRealChange: NoRealChange, TooFew: TooFew}
	rapid.Check(t, func(t *rapid.T) {
		a, b := Session{Reps: values(t, 1, 4), U: 0.5}, Session{Reps: values(t, 1, 4), U: 0.5}
		within := rapid.Float64Range(0, 5).Draw(t, "within")
		for _, side := range []Side{AtMost(3), AtLeast(3), Between(-4, 4)} {
			x, y := Changes(a, b, within, side), Changes(b, a, within, side)
			if x.Change != -y.Change || math.Abs(x.Least-y.Least) > 1e-12 || y.Word != opposite[x.Word] {
				t.Fatalf("%+v and %+v", x, y)
			}
			if x.Word == Better || x.Word == Worse {
				if math.Abs(x.Change) <= x.Least {
					t.Fatalf("called %s within the scatter: %+v", x.Word, x)
				}
			}
		}
	})
}

// TestMoreRepsMakeASmallerChangeReal, down to what the shared reading error allows.
func TestMoreRepsMakeASmallerChangeReal(t *testing.T) {
	before := math.Inf(1)
	for _, n := range []int{1, 2, 5, 50, 5000} {
		s := Session{Reps: make([]float64, n), U: 0.2}
		got := Changes(s, s, 1, AtMost(0)).Least
		if got >= before || got < LeastRealChange(0.2) {
			t.Errorf("%d reps: least real change %v, before %v, never below %v", n, got, before, LeastRealChange(0.2))
		}
		before = got
	}
	near(t, "two sessions of unlike length", Changes(Session{Reps: make([]float64, 1)}, Session{Reps: make([]float64, 4)}, 1, AtMost(0)).Least, 1.96*math.Sqrt(1+0.25))
}

// TestWelchIntervalHoldsItsPromise: two groups of unlike size and spread, 4,000
// times; the true difference is inside in 95 of 100, within three standard errors.
func TestWelchIntervalHoldsItsPromise(t *testing.T) {
	x := uint64(99)
	normal := func() float64 {
		x = x*6364136223846793005 + 1442695040888963407
		return distuv.UnitNormal.Quantile((float64(x>>11) + 0.5) / (1 << 53))
	}
	inside := 0
	const tries = 4000
	for range tries {
		var with, without []float64
		for range 6 {
			with = append(with, -0.1+0.3*normal())
		}
		for range 15 {
			without = append(without, 0.1*normal())
		}
		if c, _ := CueHelped(with, without); c.Low <= -0.1 && -0.1 <= c.High {
			inside++
		}
	}
	if share := float64(inside) / tries; math.Abs(share-0.95) > 3*math.Sqrt(0.95*0.05/tries) {
		t.Errorf("the difference is inside in %.4f, want 0.95", share)
	}
}

// TestOrderOfSessionsDoesNotMatter: series come by kind and date.
func TestOrderOfSessionsDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var sessions []Session
		for i := range rapid.IntRange(1, 8).Draw(t, "sessions") {
			sessions = append(sessions, Session{On: fmt.Sprintf("2026-03-%02d", i+1), Kind: rapid.SampledFrom([]string{"live", "dry"}).Draw(t, "kind"), Reps: values(t, 1, 3)})
		}
		a, b := Track(sessions, AtMost(0)), Track(rapid.Permutation(sessions).Draw(t, "order"), AtMost(0))
		if fmt.Sprint(words(a)) != fmt.Sprint(words(b)) {
			t.Fatalf("%v and %v", words(a), words(b))
		}
	})
}

// words lists what a track says, without pointers.
func words(series []Series) (out []string) {
	for _, s := range series {
		out = append(out, s.Kind, fmt.Sprint(s.Within, s.Steps))
		if s.Overall != nil {
			out = append(out, fmt.Sprint(*s.Overall))
		}
		if s.Trend != nil {
			out = append(out, fmt.Sprint(*s.Trend))
		}
	}
	return out
}
