package progress

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

func near(t *testing.T, name string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-9*max(1, math.Abs(want))) {
		t.Errorf("%s: got %.12g, want %.12g", name, got, want)
	}
}

// Weir, Quantifying test-retest reliability using the intraclass correlation
// coefficient and the SEM, Journal of Strength and Conditioning Research 19
// (2005): SEM and minimal difference of the worked example, at full precision
// from memory and recomputed (printed 7.6 and 20.9).
func TestWeir2005(t *testing.T) {
	near(t, "least real change", LeastRealChange(7.55692681), 1.96*math.Sqrt(2)*7.55692681)
	if got := LeastRealChange(7.55692681); math.Abs(got-20.9467324) > 5e-8 {
		t.Errorf("least real change %v, want 20.9467324", got)
	}
}

func TestScatterWithinSessions(t *testing.T) {
	sessions := []Session{{Reps: []float64{1, 3}}, {Reps: []float64{4, 5, 6}}, {Reps: []float64{9}}}
	near(t, "pooled", Within(sessions), math.Sqrt((2.0+2.0)/(1+2)))
	if got := Within(sessions[2:]); !math.IsNaN(got) {
		t.Errorf("one rep: got %v, want unknown", got)
	}
	near(t, "SEM with a shared reading error", SEM(Session{Reps: make([]float64, 4), U: 0.3}, 0.8), 0.5)
	near(t, "SEM never below the reading error", SEM(Session{Reps: make([]float64, 4), U: 0.3}, 0), 0.3)
}

func TestWordOfAChange(t *testing.T) {
	// Within 1, four reps: SEM 0.5 each, least real change 1.386.
	at := func(m float64) Session { return Session{Reps: []float64{m, m, m, m}} }
	for _, c := range []struct {
		name     string
		side     Side
		from, to float64
		want     Word
	}{
		{"down under an upper limit", AtMost(10), 14, 12.5, Better},
		{"up under an upper limit", AtMost(10), 12.5, 14, Worse},
		{"too little", AtMost(10), 14, 12.7, NoRealChange},
		{"past the limit still counts", AtMost(10), 9, 7, Better},
		{"up over a lower limit", AtLeast(10), 8, 10, Better},
		{"down over a lower limit", AtLeast(10), 10, 8, Worse},
		{"into the range from below", Between(5, 8), 2, 6, Better},
		{"out of the range above", Between(5, 8), 7, 11, Worse},
		{"from below to as far above", Between(5, 8), 4, 9, NoRealChange},
		{"within the range", Between(5, 8), 5, 8, NoRealChange},
	} {
		got := Changes(at(c.from), at(c.to), 1, c.side)
		if got.Word != c.want || math.Abs(got.Least-1.96/math.Sqrt2) > 1e-12 {
			t.Errorf("%s: got %+v, want %s", c.name, got, c.want)
		}
	}
	if got := Changes(at(1), at(9), math.NaN(), AtMost(0)); got.Word != TooFew {
		t.Errorf("scatter unknown: got %s", got.Word)
	}
}

// TestRealChangeIsClaimedOnceInTwenty: two sessions without any change, 4,000
// times: the share called better or worse is 5 %, within three standard errors.
func TestRealChangeIsClaimedOnceInTwenty(t *testing.T) {
	x := uint64(7)
	normal := func() float64 {
		x = x*6364136223846793005 + 1442695040888963407
		return distuv.UnitNormal.Quantile((float64(x>>11) + 0.5) / (1 << 53))
	}
	claimed := 0
	const tries = 4000
	for range tries {
		a, b := Session{U: 0.4}, Session{U: 0.4}
		for _, s := range []*Session{&a, &b} {
			day := 0.4 * normal()
			for range 5 {
				s.Reps = append(s.Reps, day+normal())
			}
		}
		if w := Changes(a, b, 1, AtMost(0)).Word; w != NoRealChange {
			claimed++
		}
	}
	if share := float64(claimed) / tries; math.Abs(share-0.05) > 3*math.Sqrt(0.05*0.95/tries) {
		t.Errorf("a change is claimed in %.3f of the cases, want 0.05", share)
	}
}

// Mann–Kendall and Sen on the series of the published worked example.
func TestMannKendallAndSen(t *testing.T) {
	got := TrendOf([]float64{12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11.0, 17.3, 15.9, 19.0, 18.3, 20.1, 21.7})
	if got.S != 54 || got.Exact {
		t.Errorf("S %d (exact %v), want 54 by the normal score", got.S, got.Exact)
	}
	near(t, "Z", got.Z, 2.905836846)
	near(t, "two-sided chance", got.P, 2*distuv.UnitNormal.CDF(-2.905836846))
	if math.Abs(got.Slope-0.5666667) > 5e-8 {
		t.Errorf("slope %v, want 0.5666667", got.Slope)
	}
}

func TestExactTail(t *testing.T) {
	for _, c := range []struct {
		s, n int
		ties []int
		want float64
	}{
		{4, 4, []int{1, 1, 1, 1}, 1.0 / 6}, // Kendall's table: S = 4, n = 4
		{6, 4, []int{1, 1, 1, 1}, 1.0 / 24},
		{-6, 4, []int{1, 1, 1, 1}, 1},
		{5, 4, []int{2, 1, 1}, 1.0 / 12}, // 1 1 2 3 in order: one of 4!/2!
		{0, 3, []int{3}, 1},
	} {
		near(t, "tail", upperTail(c.s, c.n, c.ties), c.want)
	}
}

// TestExactTailByCounting walks all orders of short series, ties and all.
func TestExactTailByCounting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(0, 1), 1, 6).Draw(t, "values")
		for i := range values {
			values[i] = math.Floor(values[i] * 4)
		}
		got := TrendOf(values)
		as, all := 0, 0
		permute(values, 0, func(v []float64) {
			all++
			s := 0
			for i := range v {
				for j := range i {
					if v[i] > v[j] {
						s++
					} else if v[i] < v[j] {
						s--
					}
				}
			}
			if s >= max(got.S, -got.S) {
				as++
			}
		})
		want := min(1, 2*float64(as)/float64(all))
		if !got.Exact || math.Abs(got.P-want) > 1e-12 {
			t.Fatalf("P %v, counted %v", got.P, want)
		}
	})
}

func permute(v []float64, k int, each func([]float64)) {
	if k == len(v) {
		each(v)
		return
	}
	for i := k; i < len(v); i++ {
		v[k], v[i] = v[i], v[k]
		permute(v, k+1, each)
		v[k], v[i] = v[i], v[k]
	}
}

func TestTrendOfLevelAndOddSeries(t *testing.T) {
	got := TrendOf([]float64{3, 3, 3, 3})
	if d := cmp.Diff(Trend{P: 1, Exact: true}, got); d != "" {
		t.Error(d)
	}
	long := TrendOf(make([]float64, 12))
	if d := cmp.Diff(Trend{P: 1}, long); d != "" {
		t.Error(d)
	}
	near(t, "median of an odd number of slopes", TrendOf([]float64{0, 1, 4}).Slope, 2)
}

func TestTrackKeepsDryAndLiveApart(t *testing.T) {
	side := AtMost(1)
	sessions := []Session{
		{On: "2026-03-02", Kind: "live", Reps: []float64{1.30, 1.32}},
		{On: "2026-02-01", Kind: "live", Reps: []float64{1.50, 1.52}},
		{On: "2026-02-01", Kind: "dry", Reps: []float64{0.9}},
		{On: "2026-04-01", Kind: "live"},
		{On: "2026-03-09", Kind: "live", Reps: []float64{1.31, 1.31}},
		{On: "2026-03-16", Kind: "live", Reps: []float64{1.20, 1.22}},
	}
	got := Track(sessions, side)
	if len(got) != 2 || got[0].Kind != "dry" || got[1].Kind != "live" {
		t.Fatalf("series: %+v", got)
	}
	if dry := got[0]; dry.Overall != nil || dry.Trend != nil || dry.Steps != nil || !math.IsNaN(dry.Within) {
		t.Errorf("one dry session says more than it can: %+v", dry)
	}
	live := got[1]
	var words []Word
	for _, s := range live.Steps {
		words = append(words, s.Word)
	}
	if d := cmp.Diff([]Word{Better, NoRealChange, Better}, words); d != "" {
		t.Error(d)
	}
	if live.Overall.From != "2026-02-01" || live.Overall.To != "2026-03-16" || live.Overall.Word != Better || live.Trend == nil {
		t.Errorf("overall %+v, trend %v", live.Overall, live.Trend)
	}
	if three := Track(sessions[:5], side)[1]; three.Trend != nil {
		t.Errorf("a trend is read from %d sessions", len(three.Sessions))
	}
}

// Welch, The generalization of Student's problem (1947). The interval is held
// against the same formula on gonum's moments.
func TestCueHelped(t *testing.T) {
	with, without := []float64{-0.12, -0.05, -0.2, 0.01, -0.09, -0.11}, []float64{-0.02, 0.03, -0.05, 0.0, 0.01}
	got, ok := CueHelped(with, without)
	if !ok {
		t.Fatal("withheld with enough players")
	}
	ma, va := stat.MeanVariance(with, nil)
	mb, vb := stat.MeanVariance(without, nil)
	a, b := va/6, vb/5
	df := (a + b) * (a + b) / (a*a/5 + b*b/4)
	half := distuv.StudentsT{Sigma: 1, Nu: df}.Quantile(0.975) * math.Sqrt(a+b)
	near(t, "difference", got.Difference, ma-mb)
	near(t, "degrees of freedom", got.DegreesOfFreedom, df)
	near(t, "low", got.Low, ma-mb-half)
	near(t, "high", got.High, ma-mb+half)

	if _, ok := CueHelped(with[:4], without); ok {
		t.Error("four players with the cue are taken as enough")
	}
	if _, ok := CueHelped(with, without[:4]); ok {
		t.Error("four players without the cue are taken as enough")
	}
	level := make([]float64, 5)
	if got, ok := CueHelped(level, level); !ok || got.Low != 0 || got.High != 0 {
		t.Errorf("no change at all: %+v %v", got, ok)
	}
}

// TestStudentQuantile: two-sided 95 % points of t as handbooks print them.
func TestStudentQuantile(t *testing.T) {
	for nu, want := range map[float64]float64{1: 12.706, 4: 2.776, 10: 2.228, 30: 2.042} {
		if got := (distuv.StudentsT{Sigma: 1, Nu: nu}).Quantile(0.975); math.Abs(got-want) > 5e-4 {
			t.Errorf("t(%v): got %v, want %v", nu, got, want)
		}
	}
}
