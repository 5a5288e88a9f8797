package panel

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// gram draws XᵀX, with as many directions as X has rows.
func gram(t *rapid.T, rows, n int) [][]float64 {
	x := make([][]float64, rows)
	for i := range x {
		for range n {
			x[i] = append(x[i], float64(rapid.IntRange(-9, 9).Draw(t, "x")))
		}
	}
	a := square(n)
	for i := range n {
		for j := range n {
			for _, r := range x {
				a[i][j] += r[i] * r[j]
			}
		}
	}
	return a
}

func TestInverseAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "n")
		a := gram(t, n+2, n)
		dense := mat.NewDense(n, n, nil)
		for i := range n {
			a[i][i]++ // no direction of length zero
			for j := range n {
				dense.Set(i, j, a[i][j])
			}
		}
		var want mat.Dense
		if err := want.Inverse(dense); err != nil {
			t.Fatal(err)
		}
		got := inverse(a)
		for i := range n {
			for j := range n {
				if math.Abs(got[i][j]-want.At(i, j)) > 1e-9 {
					t.Fatalf("[%d][%d]: %v, gonum %v", i, j, got[i][j], want.At(i, j))
				}
			}
		}
	})
}

// TestLowerOfFewDirections: LLᵀ gives the matrix back even where it has fewer
// directions than rows.
func TestLowerOfFewDirections(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "n")
		a := gram(t, rapid.IntRange(0, n).Draw(t, "directions"), n)
		l := lower(a)
		for i := range n {
			for j := range n {
				if got := dot(l[i], l[j]); math.Abs(got-a[i][j]) > 1e-6*(1+a[i][i]+a[j][j]) {
					t.Fatalf("[%d][%d]: %v, want %v", i, j, got, a[i][j])
				}
			}
		}
	})
}

func TestForms(t *testing.T) {
	a := [][]float64{{2, 1}, {1, 3}}
	near(t, "quadratic form", form(a, []float64{1, 2}), 2+2*2+3*4)
	r := row{{0, 1}, {1, 2}}
	near(t, "the same of a row", r.form(a), form(a, []float64{1, 2}))
	near(t, "row times vector", r.dot([]float64{5, 7}), 19)
	near(t, "weight of a row", r.weight(), 3)
	near(t, "mean", mean([]float64{1, 2, 6}), 3)
	near(t, "deviation", deviation([]float64{1, 2, 6}), math.Sqrt(7))
	near(t, "correlation", correlation([]float64{1, 2, 3}, []float64{5, 3, 1}), -1)
	if got := correlation([]float64{1, 1}, []float64{1, 2}); !math.IsNaN(got) {
		t.Errorf("correlation with what does not vary: %v", got)
	}
}
