package quantity

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestPool(t *testing.T) {
	var p Pool
	own, shared := p.Own(), p.Shared()
	for _, c := range []struct {
		in     Input
		shared bool
	}{{Stature, true}, {own, false}, {shared, true}} {
		if p.IsShared(c.in) != c.shared {
			t.Errorf("input %d is shared: %t", c.in, !c.shared)
		}
	}
	if own == Stature || shared == Stature || own == shared {
		t.Errorf("inputs %d and %d are not their own", own, shared)
	}
	p.Reset()
	if again := p.Shared(); again != own || !p.IsShared(again) || !p.IsShared(Stature) {
		t.Errorf("after Reset the first input is %d", again)
	}
}

// TestSharedInputsDoNotAverageOut: the mean of n readings by one eye keeps the
// eye's whole error; the private errors shrink by √n.
func TestSharedInputsDoNotAverageOut(t *testing.T) {
	var p Pool
	eye := p.Shared()
	const n = 16
	args := make([]Value, n)
	for k := range args {
		args[k] = Value{10, []Part{{eye, 3}, {p.Own(), 4}}}
	}
	mean := propagate(func(x []float64) float64 {
		sum := 0.0
		for _, v := range x {
			sum += v
		}
		return sum / n
	}, args...)
	within(t, "u(mean)", mean.U(), math.Sqrt(3*3+4*4.0/n), 1e-12)
	within(t, "the eye's part", mean.D(eye), 3, 1e-12)
}

func TestHalfDifference(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct{ up, x, down, want float64 }{
		{5, 3, 2, 1.5}, {5, 3, nan, 2}, {nan, 3, 2, 1}, {nan, 3, nan, 0}, {inf, 3, 2, 1}, {5, 3, -inf, 2}, {3, 3, 3, 0},
	} {
		if got := HalfDifference(c.up, c.x, c.down); got != c.want {
			t.Errorf("HalfDifference(%v, %v, %v) = %v, wanted %v", c.up, c.x, c.down, got, c.want)
		}
	}
}

// values draws values over a handful of inputs.
func values(t *rapid.T, n int) []Value {
	list := make([]Value, n)
	for i := range list {
		list[i].X = rapid.Float64Range(-10, 10).Draw(t, "x")
		for in := Input(0); in < 6; in++ {
			if rapid.Bool().Draw(t, "depends") {
				list[i].Parts = append(list[i].Parts, Part{in, rapid.Float64Range(-2, 2).Draw(t, "d")})
			}
		}
	}
	return list
}

// TestPropagateLinear: for Σ a_i x_i first order is exact, u² = aᵀ C a with the
// covariances of the arguments (JCGM 100 eq. 16), parts are sorted and unique.
func TestPropagateLinear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		args := values(t, 3)
		a := [3]float64{rapid.Float64Range(-3, 3).Draw(t, "a"), rapid.Float64Range(-3, 3).Draw(t, "b"), 1}
		v := propagate(func(x []float64) float64 { return a[0]*x[0] + a[1]*x[1] + a[2]*x[2] }, args...)
		want := 0.0
		for i := range args {
			for k := range args {
				want += a[i] * a[k] * Covariance(args[i], args[k])
			}
		}
		if got := v.U() * v.U(); math.Abs(got-want) > 1e-9*(1+math.Abs(want)) {
			t.Fatalf("u² is %v, wanted %v", got, want)
		}
		for k := 1; k < len(v.Parts); k++ {
			if v.Parts[k-1].Input >= v.Parts[k].Input {
				t.Fatalf("parts %v are not sorted", v.Parts)
			}
		}
	})
}

func TestCovariance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := values(t, 2)
		want := 0.0
		for in := Input(0); in < 6; in++ {
			want += v[0].D(in) * v[1].D(in)
		}
		if got := Covariance(v[0], v[1]); math.Abs(got-want) > 1e-12 || got != Covariance(v[1], v[0]) {
			t.Fatalf("covariance %v, wanted %v", got, want)
		}
		if u := v[0].U(); math.Abs(u*u-Covariance(v[0], v[0])) > 1e-12 {
			t.Fatalf("u² is %v, the covariance with itself %v", u*u, Covariance(v[0], v[0]))
		}
	})
}

// TestPropagateReusesMemory: the parts go into the memory handed in.
func TestPropagateReusesMemory(t *testing.T) {
	var p Pool
	a, b := own(&p, 1, 0.1), own(&p, 2, 0.2)
	room := make([]Part, 5, 8)
	v := Propagate(func(x []float64) float64 { return x[0] * x[1] }, []Value{a, b}, make([]float64, 2), room)
	want := []Part{{a.Parts[0].Input, 0.2}, {b.Parts[0].Input, 0.2}}
	if diff := cmp.Diff(want, v.Parts, cmp.Comparer(func(x, y float64) bool { return math.Abs(x-y) < 1e-12 })); diff != "" {
		t.Error(diff)
	}
	if &v.Parts[0] != &room[0] {
		t.Error("new memory for the parts")
	}
	if zero := propagate(func(x []float64) float64 { return 7 + 0*x[0] }, a); len(zero.Parts) != 0 || zero.U() != 0 {
		t.Errorf("a constant has parts %v", zero.Parts)
	}
}
