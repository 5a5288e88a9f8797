package panel

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// F distribution, upper 2.5 % points as handbooks print them (common tables; from
// memory, recomputed by gonum).
func TestQuantileOfF(t *testing.T) {
	for _, c := range []struct{ d1, d2, want float64 }{{5, 15, 3.58}, {1, 10, 6.94}, {10, 10, 3.72}, {15, 5, 6.43}, {3, 120, 3.23}} {
		within(t, "F", quantileF(c.d1, c.d2), c.want, 5e-3)
	}
}

// TestFIntervalHoldsItsPromise: over 2,000 complete panels with known components
// the F interval of ICC(3,1), which is exact, contains the truth in 95 of 100,
// and that of ICC(2,1), which is an approximation, in 93 to 97.
func TestFIntervalHoldsItsPromise(t *testing.T) {
	two, three := tally{}, tally{}
	for seed := range uint64(2000) {
		s := simulate(design{players: 12, evaluators: 4, seenBy: 4, items: 1, severity: 0.6, scatter: 0.8}, seed)
		rows, _ := tables(s.grades)[0].grid()
		icc := CompleteICC(rows)
		holds := func(i Interval, truth float64) bool { return float64(i.Low) <= truth && truth <= float64(i.High) }
		two.count(holds(icc.TwoOne, 1/(1+0.36+0.64)))
		three.count(holds(icc.ThreeOne, 1/(1+0.64)))
	}
	within(t, "ICC(3,1)", three.of(), 0.95, 3*math.Sqrt(0.95*0.05/2000))
	two.holds(t, "ICC(2,1)")
}

// TestICCSeesWhatItShould: the unit of the grades does not matter; a strict
// evaluator lowers agreement (case 2), but not consistency (case 3).
func TestICCSeesWhatItShould(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, k := rapid.IntRange(3, 8).Draw(t, "players"), rapid.IntRange(2, 5).Draw(t, "evaluators")
		rows, scaled, strict := make([][]float64, n), make([][]float64, n), make([][]float64, n)
		for i := range rows {
			for j := range k {
				y := float64(rapid.IntRange(1, 10).Draw(t, "grade"))
				rows[i] = append(rows[i], y)
				scaled[i] = append(scaled[i], 3*y+2)
				if j == 0 {
					y -= 100
				}
				strict[i] = append(strict[i], y)
			}
		}
		s := meanSquares(rows)
		if s.ems == 0 || s.bms == 0 {
			return
		}
		a, b, c := CompleteICC(rows), CompleteICC(scaled), CompleteICC(strict)
		for _, pair := range [][2]Figure{{a.TwoOne.Value, b.TwoOne.Value}, {a.ThreeOne.Low, b.ThreeOne.Low}, {a.ThreeK.Value, c.ThreeK.Value}, {a.ThreeOne.High, c.ThreeOne.High}} {
			if math.Abs(float64(pair[0]-pair[1])) > 1e-6*(1+math.Abs(float64(pair[0]))) {
				t.Fatalf("%v and %v", pair[0], pair[1])
			}
		}
		if s.bms > s.ems && c.TwoOne.Value > 0.1 {
			t.Fatalf("a hundred grades of strictness leave agreement at %v", c.TwoOne.Value)
		}
		if !(a.ThreeOne.Low <= a.ThreeOne.Value && a.ThreeOne.Value <= a.ThreeOne.High) {
			t.Fatalf("value outside its interval: %+v", a.ThreeOne)
		}
	})
}

func TestStepUp(t *testing.T) {
	got := stepUp(Interval{0.5, 0.2, 0.8}, 3)
	near(t, "value", float64(got.Value), 0.75)
	near(t, "low", float64(got.Low), 0.6/1.4)
	near(t, "high", float64(got.High), 2.4/2.6)
	if got := stepUp(Interval{-0.4, -0.5, -0.1}, 3); got.Low.Known() || got.Value >= 0 {
		t.Errorf("an end without counterpart: %+v", got)
	}
}

func TestDesignAndWordsOfAgreement(t *testing.T) {
	yesNo := func(rows [][]float64) []Grade {
		grades := gradesOf("hand", rows)
		for i := range grades {
			grades[i].YesNo = true
		}
		return grades
	}
	for _, c := range []struct {
		name, design, says string
		grades             []Grade
		icc, kappa         bool
	}{
		{"complete", "complete", "29 % (2 to 76)", gradesOf("arm", judges), true, false},
		{"a look missing", "incomplete", "of the spread of single grades is the players", gradesOf("arm", [][]float64{{9, 2, 5, 8}, {6, 1, 3, 2}, {8, 4, 6, nan}, {7, 1, 2, 6}}), true, false},
		{"one evaluator", "complete", "nobody to agree with", gradesOf("arm", [][]float64{{1}, {2}}), false, false},
		{"one player", "complete", "too few players", gradesOf("arm", [][]float64{{1, 2}}), false, false},
		{"nobody seen twice", "incomplete", "too few players", gradesOf("arm", [][]float64{{1, nan}, {nan, 2}}), false, false},
		{"no spread", "complete", "tells no players apart", gradesOf("arm", [][]float64{{3, 3}, {3, 3}}), false, false},
		{"yes and no", "complete", "say the same of a player 75 times in 100", yesNo([][]float64{{1, 1}, {0, 0}, {1, 0}, {0, 0}}), true, true},
		{"yes and no, some seen once", "incomplete", "50 times in 100", yesNo([][]float64{{1, 1}, {0, nan}, {1, 0}, {nan, 1}}), true, true},
	} {
		got := agreement(tables(c.grades)[0])
		if got.Design != c.design || !strings.Contains(got.Says, c.says) || got.ICC31.Value.Known() != c.icc || got.Kappa.Known() != c.kappa {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
}

// TestMeanDifferenceOfNormals: all pairs of a thousand normal quantiles differ by
// 2σ/√π on average (Gini's mean difference).
func TestMeanDifferenceOfNormals(t *testing.T) {
	const n = 1000
	exact := 0.0
	for k := range n {
		q := distuv.UnitNormal.Quantile((float64(k) + 0.5) / n)
		exact += q * (2*float64(k) + 1 - n)
	}
	within(t, "mean difference", differ(1), 2*exact/(n*n), 2e-3)
	within(t, "with twice the spread", differ(4), 2*differ(1), 1e-12)
}

func TestPairsOfLooksThatAgree(t *testing.T) {
	tab := tableOf([][]float64{{1, 1, 0}, {0, 0, 0}, {1, nan, nan}})
	near(t, "share of pairs", agreeing(tab), 4.0/6)
	near(t, "harmonic mean of looks", looksBehindMean(tab), 3/(1.0/3+1.0/3+1))
}
