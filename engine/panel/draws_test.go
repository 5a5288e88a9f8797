package panel

import (
	"math"
	"testing"
)

// TestNetFillsTheCube: every dimension takes each of the 4,096 steps once, every
// pair of dimensions has 64 points in each field of an 8 × 8 board, and no pair
// is correlated by more than 3/32: one's fourth bit may be the other's first.
func TestNetFillsTheCube(t *testing.T) {
	const dimensions = 380
	w := newNet(dimensions)
	points := make([][]uint16, dimensions)
	for range draws {
		for d, x := range w.next() {
			points[d] = append(points[d], x)
		}
	}
	for d, p := range points {
		seen := make([]bool, draws)
		for _, x := range p {
			if seen[x] {
				t.Fatalf("dimension %d takes step %d twice", d, x)
			}
			seen[x] = true
		}
	}
	worst := 0.0
	for a := 0; a < dimensions; a += 3 {
		for b := range a {
			board, sum := [64]int{}, 0.0
			for i := range draws {
				x, y := points[a][i], points[b][i]
				board[x>>9<<3|y>>9]++
				sum += (float64(x) - 2047.5) * (float64(y) - 2047.5)
			}
			for field, n := range board {
				if n != draws/64 {
					t.Fatalf("dimensions %d and %d: %d points in field %d, want %d", a, b, n, field, draws/64)
				}
			}
			worst = max(worst, math.Abs(sum/draws/(draws*draws/12.0)))
		}
	}
	if worst > 3.0/32+1e-6 {
		t.Errorf("two dimensions are correlated by %.3f", worst)
	}
	z := normals()
	near(t, "the middle quantiles mirror", z[0], -z[draws-1])
	within(t, "standard deviation of the quantiles", deviation(z), 1, 1e-3)
}

func TestBeyondThePlanesQuadrantsAreEven(t *testing.T) {
	for _, pair := range [][2]int{{0, planes}, {planes, 999}, {100, 800}} {
		quadrants := [4]int{}
		w := newNet(1000)
		for range draws {
			at := w.next()
			quadrants[at[pair[0]]>>11<<1|at[pair[1]]>>11]++
		}
		if quadrants != [4]int{draws / 4, draws / 4, draws / 4, draws / 4} {
			t.Errorf("dimensions %v: %v", pair, quadrants)
		}
	}
}

func TestDrawsAreTheSameEveryTime(t *testing.T) {
	a, b := newNet(3), newNet(3)
	for range 100 {
		x, y := a.next(), b.next()
		for d := range x {
			if x[d] != y[d] {
				t.Fatal("two walks differ")
			}
		}
	}
}
