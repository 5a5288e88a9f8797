package verdict

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// within fails unless got lies within tolerance of want.
func within(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.12g, wanted %.12g ± %.2g", what, got, want, tolerance)
	}
}

// TestConformance: worked examples of JCGM 106:2012 (from memory, recomputed).
// The chance of a fault is 1 less the chance of conformance.
func TestConformance(t *testing.T) {
	for _, c := range []struct {
		name         string
		fault, sound float64
	}{
		{"lower limit 490, y 509.7, u 8.6", Below(509.7, 8.6, 490), 0.989009547},
		{"upper limit −5.40, y −5.47, u 0.05", Above(-5.47, 0.05, -5.40), 0.919243341},
		{"interval [12.5, 16.3], y 13.6, u 1.8", Outside(13.6, 1.8, 12.5, 16.3), 0.662629786},
		{"a guard band of 2u, one side", Above(10, 1, 12), 1 - 0.022750132},
		{"the same below", Below(14, 1, 12), 1 - 0.022750132},
	} {
		within(t, c.name, c.fault, 1-c.sound, 1e-9)
	}
}

// TestCertain: without uncertainty the chance is a step, and a value on the
// limit is sound.
func TestCertain(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"above", Above(3.1, 0, 3), 1}, {"on, from below", Above(3, 0, 3), 0}, {"under an upper limit", Above(2.9, 0, 3), 0},
		{"below", Below(2.9, 0, 3), 1}, {"on, from above", Below(3, 0, 3), 0}, {"over a lower limit", Below(3.1, 0, 3), 0},
		{"inside", Outside(2, 0, 1, 3), 0}, {"on the low end", Outside(1, 0, 1, 3), 0}, {"on the high end", Outside(3, 0, 1, 3), 0},
		{"past the low end", Outside(0.9, 0, 1, 3), 1}, {"past the high end", Outside(3.1, 0, 1, 3), 1},
	} {
		if c.got != c.want {
			t.Errorf("%s: %v, wanted %v", c.name, c.got, c.want)
		}
	}
}

func TestPhi(t *testing.T) {
	within(t, "Φ(1)", Phi(1), 0.841344746, 1e-9)
	for z := -8.0; z <= 8; z += 0.25 {
		within(t, "Φ", Phi(z), distuv.UnitNormal.CDF(z), 1e-15)
	}
}

// TestFarFromTheLimit: small chances keep their digits on both sides.
func TestFarFromTheLimit(t *testing.T) {
	want := distuv.UnitNormal.CDF(-8)
	for _, got := range []float64{Above(0, 1, 8), Below(8, 1, 0), Outside(8, 1, 0, 1e9)} {
		within(t, "chance", got/want, 1, 1e-9)
	}
}

// TestSidesMirror: turning the axis round turns one side into the other.
func TestSidesMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		y, u := rapid.Float64Range(-5, 5).Draw(t, "y"), rapid.Float64Range(0, 3).Draw(t, "u")
		lo := rapid.Float64Range(-5, 5).Draw(t, "lo")
		hi := lo + rapid.Float64Range(0.1, 5).Draw(t, "width")
		if a, b := Above(y, u, hi), Below(-y, u, -hi); a != b {
			t.Fatalf("above %v, mirrored %v", a, b)
		}
		if a, b := Outside(y, u, lo, hi), Outside(-y, u, -hi, -lo); math.Abs(a-b) > 1e-15 {
			t.Fatalf("outside %v, mirrored %v", a, b)
		}
		if a := Outside(y, u, lo, hi); math.Abs(a-Above(y, u, hi)-Below(y, u, lo)) > 1e-15 || a < 0 || a > 1+1e-15 {
			t.Fatalf("outside is %v", a)
		}
	})
}

// TestMostlyWrong: Jeffreys' prior; the first row is Beta(1.5, 0.5).
func TestMostlyWrong(t *testing.T) {
	within(t, "1 of 1", MostlyWrong(1, 1), 0.818310, 1e-6)
	within(t, "0 of 0", MostlyWrong(0, 0), 0.5, 1e-15)
	for n := range 65 {
		for k := range n + 1 {
			beta := distuv.Beta{Alpha: float64(k) + 0.5, Beta: float64(n-k) + 0.5}
			got := MostlyWrong(k, n)
			within(t, "chance", got, 1-beta.CDF(0.5), 1e-12)
			within(t, "with yes and no exchanged", got+MostlyWrong(n-k, n), 1, 1e-12)
		}
	}
}

// TestHalfBeta: against gonum's incomplete beta, relative, far from the sizes
// in use too.
func TestHalfBeta(t *testing.T) {
	sizes := []float64{0.5, 1, 1.5, 2, 3.5, 7, 16.5, 64.5, 200.5, 1000}
	for _, a := range sizes {
		for _, b := range sizes {
			want := mathext.RegIncBeta(a, b, 0.5)
			got := halfBeta(a, b)
			if want > 1e-250 && math.Abs(got-want) > 1e-10*want || got < 0 || got > 1 {
				t.Errorf("I(½; %v, %v) = %v, wanted %v", a, b, got, want)
			}
		}
	}
}

func TestOf(t *testing.T) {
	for _, c := range []struct {
		chance float64
		want   Verdict
	}{{1, Fault}, {0.80, Fault}, {0.79, Close}, {0.5, Close}, {0.21, Close}, {0.20, Sound}, {0, Sound}} {
		if got := Of(c.chance, 0.80, 0.20); got != c.want {
			t.Errorf("a chance of %v is %s, wanted %s", c.chance, got, c.want)
		}
	}
}
