package panel

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// catalyst is Montgomery's balanced incomplete block design (Design and Analysis
// of Experiments, the catalyst experiment): rows catalysts, here players;
// columns batches, here evaluators. Data as printed, figures from memory and
// recomputed.
var catalyst = [][]float64{{73, 74, nan, 71}, {nan, 75, 67, 72}, {73, 75, 68, nan}, {75, nan, 72, 75}}

func TestCatalystExperiment(t *testing.T) {
	f := fit(tableOf(catalyst))
	for i, want := range []float64{71.375, 71.625, 72, 75} {
		near(t, "adjusted", f.Adjusted[i], want)
	}
	for i, want := range []float64{218.0 / 3, 214.0 / 3, 72, 74} {
		near(t, "raw", f.Raw[i], want)
	}
	for i, want := range []float64{7.0 / 8, 3, -31.0 / 8, 0} {
		near(t, "severity", f.Severity[i], want)
	}
	near(t, "residual variance", f.Variance, 0.65)
	// SE of a difference of two adjusted means: 0.6982. By symmetry, twice the
	// variance of a mean less twice their covariance; from the spread directly:
	d := make([]float64, 4)
	for _, by := range f.shares[0] {
		d[by.evaluator] += by.weight
	}
	for _, by := range f.shares[1] {
		d[by.evaluator] -= by.weight
	}
	near(t, "SE of a difference", math.Sqrt(f.Variance*(1/f.looks[0]+1/f.looks[1]+form(f.spread, d))), math.Sqrt(2*0.65*3/8))
	within(t, "SE of a difference as printed", math.Sqrt(2*0.65*3/8), 0.6982, 5e-5)
	near(t, "u of an adjusted mean", f.AdjustedU(0), math.Sqrt(0.65*(1.0/12+9.0/32)))
	near(t, "u of a severity", f.SeverityU(1), math.Sqrt(0.65*9.0/32))
}

// TestFitAgainstDenseLeastSquares solves the same model with gonum's QR on the
// full design matrix, evaluators summing to zero by effect coding.
func TestFitAgainstDenseLeastSquares(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, k := rapid.IntRange(2, 8).Draw(t, "players"), rapid.IntRange(2, 5).Draw(t, "evaluators")
		rows := make([][]float64, n)
		for p := range rows {
			for e := range k {
				y := nan
				if e == 0 || p == 0 || rapid.Bool().Draw(t, "seen") {
					y = float64(rapid.IntRange(0, 100).Draw(t, "grade"))
				}
				rows[p] = append(rows[p], y)
			}
		}
		tab := tableOf(rows)
		f := fit(tab)
		design, y := mat.NewDense(len(tab.looks), n+k-1, nil), mat.NewVecDense(len(tab.looks), nil)
		for i, l := range tab.looks {
			design.Set(i, l.player, 1)
			for e := range k - 1 {
				switch l.evaluator {
				case e:
					design.Set(i, n+e, 1)
				case k - 1:
					design.Set(i, n+e, -1)
				}
			}
			y.SetVec(i, l.grade)
		}
		var b mat.VecDense
		if err := b.SolveVec(design, y); err != nil {
			t.Fatal(err)
		}
		for p := range n {
			if math.Abs(f.Adjusted[p]-b.AtVec(p)) > 1e-8 {
				t.Fatalf("adjusted %d: %v, dense %v", p, f.Adjusted[p], b.AtVec(p))
			}
		}
		for e := range k - 1 {
			if math.Abs(f.Severity[e]-b.AtVec(n+e)) > 1e-8 {
				t.Fatalf("severity %d: %v, dense %v", e, f.Severity[e], b.AtVec(n+e))
			}
		}
		var gram, cov mat.Dense
		gram.Mul(design.T(), design)
		if err := cov.Inverse(&gram); err != nil {
			t.Fatal(err)
		}
		if f.Free > 0 {
			for p := range n {
				if want := math.Sqrt(f.Variance * cov.At(p, p)); math.Abs(f.AdjustedU(p)-want) > 1e-8*(1+want) {
					t.Fatalf("u of adjusted %d: %v, dense %v", p, f.AdjustedU(p), want)
				}
			}
			if want := math.Sqrt(f.Variance * cov.At(n, n)); math.Abs(f.SeverityU(0)-want) > 1e-8*(1+want) {
				t.Fatalf("u of severity: %v, dense %v", f.SeverityU(0), want)
			}
		}
	})
}

func TestAdjustedIsRawWhereEveryoneSawEveryone(t *testing.T) {
	f := fit(tableOf(judges))
	for p := range f.Players {
		near(t, "adjusted", f.Adjusted[p], f.Raw[p])
	}
}
