package panel

import "math"

// lower is the factor L of a = LLᵀ (Cholesky) for a symmetric matrix without
// negative directions; a direction of length zero gives a column of zeros.
func lower(a [][]float64) [][]float64 {
	n := len(a)
	l := square(n)
	for j := range n {
		pivot := a[j][j]
		for k := range j {
			pivot -= l[j][k] * l[j][k]
		}
		if pivot <= 1e-13*a[j][j] {
			continue
		}
		l[j][j] = math.Sqrt(pivot)
		for i := j + 1; i < n; i++ {
			sum := a[i][j]
			for k := range j {
				sum -= l[i][k] * l[j][k]
			}
			l[i][j] = sum / l[j][j]
		}
	}
	return l
}

// inverse inverts a symmetric positive definite matrix.
func inverse(a [][]float64) [][]float64 {
	l, n := lower(a), len(a)
	inv := square(n)
	for c := range n {
		x := inv[c]
		x[c] = 1
		for i := range n { // Lz = e_c
			for k := range i {
				x[i] -= l[i][k] * x[k]
			}
			x[i] /= l[i][i]
		}
		for i := n - 1; i >= 0; i-- { // Lᵀx = z
			for k := i + 1; k < n; k++ {
				x[i] -= l[k][i] * x[k]
			}
			x[i] /= l[i][i]
		}
	}
	return inv
}

// square is an n by n matrix of zeros in one block of memory.
func square(n int) [][]float64 { return rectangle(n, n) }

func rectangle(rows, columns int) [][]float64 {
	block := make([]float64, rows*columns)
	m := make([][]float64, rows)
	for i := range m {
		m[i] = block[i*columns : (i+1)*columns : (i+1)*columns]
	}
	return m
}

// form is the quadratic form xᵀax.
func form(a [][]float64, x []float64) float64 {
	sum := 0.0
	for i, row := range a {
		sum += x[i] * dot(row, x)
	}
	return sum
}

func dot(x, y []float64) float64 {
	sum := 0.0
	for i := range x {
		sum += x[i] * y[i]
	}
	return sum
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}
