package verdict

import (
	"math"
	"testing"
)

// point gives the coordinates of point i+1 as fractions of 2³², worked out from
// the Gray code of its number.
func point(d, i int) uint32 {
	v, x := directions(d), uint32(0)
	gray := uint32(i+1) ^ uint32(i+1)>>1
	for bit := range v {
		if gray>>bit&1 == 1 {
			x ^= v[bit]
		}
	}
	return x
}

// TestGrayOrder: points 1 to 512 in Gray-code order (Antonov & Saleev); the
// first points of the first dimensions are those printed by Joe & Kuo with
// their program (from memory).
func TestGrayOrder(t *testing.T) {
	first := [][]float64{{0.5, 0.5, 0.5}, {0.75, 0.25, 0.25}, {0.25, 0.75, 0.75}, {0.375, 0.375, 0.625}, {0.875, 0.875, 0.125}, {0.625, 0.125, 0.875}, {0.125, 0.625, 0.375}}
	for i, want := range first {
		for d := range want {
			if got := float64(point(d, i)) / (1 << sobolBits); got != want[d] {
				t.Errorf("point %d, dimension %d: %v, wanted %v", i+1, d+1, got, want[d])
			}
		}
	}
	for d := range MostInputs {
		for i := range Draws {
			u := float64(point(d, i)) / (1 << sobolBits)
			if got := Phi(Normal(d, i)); math.Abs(got-u) > 1e-12 {
				t.Fatalf("point %d, dimension %d: %v, wanted %v", i+1, d+1, got, u)
			}
		}
	}
}

// TestEachDimensionFillsItsCells: with point 0, the first 2^m points have one in
// each of 2^m cells.
func TestEachDimensionFillsItsCells(t *testing.T) {
	for d := range MostInputs {
		for m := 1; m <= 9; m++ {
			taken := make([]bool, 1<<m)
			taken[0] = true // point 0 is the origin
			for i := range 1<<m - 1 {
				cell := point(d, i) >> (sobolBits - m)
				if taken[cell] {
					t.Fatalf("dimension %d, %d points: two in cell %d", d+1, 1<<m, cell)
				}
				taken[cell] = true
			}
		}
	}
}

// TestNeighboursFillTheirCells: the first 4^m points of each neighbouring pair
// of dimensions fill a grid evenly, up to the quality parameter that the two
// primitive polynomials allow: t = degree − 1 each (Sobol 1967), so at most
// 2^t in a cell. The grid is the finest that t leaves among 512 points, or more
// where t is large.
func TestNeighboursFillTheirCells(t *testing.T) {
	for d := range MostInputs - 1 {
		quality := 0
		for _, k := range []int{d, d + 1} {
			if k > 0 {
				quality += len(joeKuo[k-1].m) - 1
			}
		}
		m := max(9, quality+2)
		side := m - quality
		for a := 0; a <= side; a++ {
			counts := make([]int, 1<<side)
			counts[0]++ // point 0
			for i := range 1<<m - 1 {
				x, y := uint64(point(d, i))>>(sobolBits-a), uint64(point(d+1, i))>>(sobolBits-(side-a))
				counts[x<<(side-a)|y]++
			}
			for cell, n := range counts {
				if n != 1<<quality {
					t.Fatalf("dimensions %d and %d: %d points in cell %d of a grid of 2^%d by 2^%d, wanted %d", d+1, d+2, n, cell, a, side-a, 1<<quality)
				}
			}
		}
	}
}

// TestNeighboursAreNotAlike: dimensions that repeat or mirror each other would
// be correlated.
func TestNeighboursAreNotAlike(t *testing.T) {
	for d := range MostInputs {
		for e := range d {
			sum := 0.0
			for i := range Draws {
				sum += Normal(d, i) * Normal(e, i)
			}
			if r := sum / Draws; math.Abs(r) > 0.1 {
				t.Errorf("dimensions %d and %d correlate by %.3f", e+1, d+1, r)
			}
		}
	}
}

// TestPolynomialsArePrimitive: each has full period 2^degree − 1, all are
// different, and the initial numbers are odd and below 2^k, as Joe & Kuo 2008
// ask for.
func TestPolynomialsArePrimitive(t *testing.T) {
	seen := map[[2]uint32]bool{}
	for k, p := range joeKuo {
		s := len(p.m)
		key := [2]uint32{uint32(s), p.a}
		if seen[key] {
			t.Errorf("dimension %d repeats a polynomial", k+2)
		}
		seen[key] = true
		if got := period(s, p.a); got != 1<<s-1 {
			t.Errorf("dimension %d: period %d, wanted %d", k+2, got, 1<<s-1)
		}
		for i, m := range p.m {
			if m%2 == 0 || m >= 1<<(i+1) {
				t.Errorf("dimension %d: initial number %d is %d", k+2, i+1, m)
			}
		}
	}
}

// period is the order of x modulo the polynomial x^s + a_1 x^{s−1} + … + 1,
// whose inner coefficients are the bits of a.
func period(s int, a uint32) int {
	poly := 1<<s | int(a)<<1 | 1
	x := 1
	for n := 1; ; n++ {
		if x <<= 1; x>>s&1 == 1 {
			x ^= poly
		}
		if x == 1 || n > 1<<s {
			return n
		}
	}
}

// TestDrawsWhereFirstOrderIsNotEnough: JCGM 101:2008, x1² + x2² with u 0.005,
// x1 = 0.010, x2 = 0 (from memory, recomputed): mean 150e-6, u 111.803399e-6;
// first order says 100e-6 for both. 512 fixed draws come within 2 %.
func TestDrawsWhereFirstOrderIsNotEnough(t *testing.T) {
	sum, squares := 0.0, 0.0
	for i := range Draws {
		x1, x2 := 0.010+0.005*Normal(0, i), 0.005*Normal(1, i)
		y := x1*x1 + x2*x2
		sum += y
		squares += y * y
	}
	mean := sum / Draws
	within(t, "mean", mean, 150e-6, 0.02*150e-6)
	within(t, "u", math.Sqrt(squares/Draws-mean*mean), 111.803399e-6, 0.02*111.803399e-6)
}
