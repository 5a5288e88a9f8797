package clock

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestClosedForm: the parts are the minimum of the cost, found in two other ways.
func TestClosedForm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		loss, parts := draw(t)
		Reconcile(loss, parts)
		w := variance(loss, parts)
		for name, want := range map[string][]float64{"enumeration": enumerate(loss.T, w, parts), "descent": descend(loss.T, w, parts)} {
			for i, p := range parts {
				if math.Abs(p.S-want[i]) > 1e-8 {
					t.Fatalf("part %d is %v, by %s %v", i, p.S, name, want[i])
				}
			}
		}
	})
}

// TestNothingIsLost: the parts and what stays unexplained add up to the loss,
// and no part is negative.
func TestNothingIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		loss, parts := draw(t)
		fit := Reconcile(loss, parts)
		sum := fit.Rest
		for _, p := range parts {
			sum += p.S
			if p.S < 0 || math.IsNaN(p.U) || p.U > p.UPrior+1e-15 {
				t.Fatalf("part %+v", p)
			}
		}
		if math.Abs(sum-loss.T) > 1e-12 {
			t.Fatalf("parts and rest add up to %v, lost %v", sum, loss.T)
		}
	})
}

// TestCovariance: over the parts not held at 0, diag(v) − vvᵀ/(V + w) is the
// inverse of the normal equations' matrix, diag(1/v) + 1/w: their product is the
// unit matrix. A part held at 0 does not vary.
func TestCovariance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		loss, parts := draw(t)
		fit := Reconcile(loss, parts)
		w := variance(loss, parts)
		for i := range parts {
			if parts[i].S == 0 && parts[i].Prior > 0 && parts[i].U != 0 {
				t.Fatalf("part %d is held at 0 and varies by %v", i, parts[i].U)
			}
			for k := range parts {
				if parts[i].S == 0 || parts[k].S == 0 {
					continue
				}
				product := fit.Covariance(parts, i, k) / (parts[i].UPrior * parts[i].UPrior)
				for j := range parts {
					product += fit.Covariance(parts, j, k) / w
				}
				if want := map[bool]float64{true: 1}[i == k]; math.Abs(product-want) > 1e-8 {
					t.Fatalf("row %d times column %d is %v, wanted %v", i, k, product, want)
				}
			}
		}
	})
}

// TestUOf: √(aᵀ Cov a), and the parts' own U for a unit vector.
func TestUOf(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		loss, parts := draw(t)
		fit := Reconcile(loss, parts)
		a := make([]float64, len(parts))
		for i := range a {
			a[i] = rapid.Float64Range(0, 1).Draw(t, "a")
		}
		want := 0.0
		for i := range parts {
			for k := range parts {
				want += a[i] * a[k] * fit.Covariance(parts, i, k)
			}
			if u := fit.UOf(parts, func(k int) float64 { return map[bool]float64{true: 1}[k == i] }); math.Abs(u-parts[i].U) > 1e-9 {
				t.Fatalf("u of part %d is %v, UOf says %v", i, parts[i].U, u)
			}
		}
		if got := fit.UOf(parts, func(i int) float64 { return a[i] }); math.Abs(got*got-want) > 1e-12 {
			t.Fatalf("UOf² is %v, aᵀCa is %v", got*got, want)
		}
	})
}

// TestEdges: cases worked out by hand.
func TestEdges(t *testing.T) {
	for _, c := range []struct {
		name   string
		loss   Loss
		parts  []Part // Prior, UPrior and the wanted S and U
		rest   float64
		widens bool
		faster bool
	}{
		{"no parts", Loss{T: 0.02, U: 0.05}, nil, 0.02, false, false},
		{"no parts, a loss above 2u", Loss{T: 0.2, U: 0.05}, nil, 0.2, true, false},
		{"no parts, faster", Loss{T: -0.2, U: 0.05}, nil, -0.2, false, true},
		{"the clock agrees", Loss{T: 0.3, U: 0.1}, []Part{{0.1, 0.1, 0.1, 0.1 * math.Sqrt(1-1.0/3)}, {0.2, 0.1, 0.2, 0.1 * math.Sqrt(1-1.0/3)}}, 0, false, false},
		{"a third each", Loss{T: 0.3, U: 0.1}, []Part{{0, 0.1, 0.1, 0.1 * math.Sqrt(1-1.0/3)}, {0, 0.1, 0.1, 0.1 * math.Sqrt(1-1.0/3)}}, 0.1, false, false},
		{"v = 0 stays", Loss{T: 0.3, U: 0.1}, []Part{{0.1, 0, 0.1, 0}, {0, 0.1, 0.1, 0.1 * math.Sqrt(0.5)}}, 0.1, false, false},
		{"v = 0 alone", Loss{T: 0.15, U: 0.1}, []Part{{0.1, 0, 0.1, 0}}, 0.05, false, false},
		{"w = 0, the parts fill the clock", Loss{T: 0.3}, []Part{{0.1, 0.1, 0.2, 0.1 * math.Sqrt(0.5)}, {0, 0.1, 0.1, 0.1 * math.Sqrt(0.5)}}, 0, false, false},
		{"w = 0 and v = 0", Loss{T: 0.1}, []Part{{0.1, 0, 0.1, 0}}, 0, false, false},
		{"w = 0, nothing lost at all", Loss{T: -0.1}, []Part{{0.1, 0.1, 0, 0}}, -0.1, false, false},
		{"one held at 0", Loss{T: -0.2, U: 0.1}, []Part{{0, 0.1, 0, 0}, {0.3, 0.1, 0.05, 0.1 * math.Sqrt(0.5)}}, -0.25, false, true},
		{"a loss no fault explains", Loss{T: 1, U: 0.1, Unexplained: 0.05}, []Part{{0.2, 0.1, 0.2 + 0.01*0.8/0.16, 0.1 * math.Sqrt(1-0.01/0.16)}}, 0.75, true, false},
	} {
		parts := append([]Part{}, c.parts...)
		fit := Reconcile(c.loss, parts)
		if math.Abs(fit.Rest-c.rest) > 1e-12 || fit.Widens != c.widens || fit.Faster != c.faster {
			t.Errorf("%s: rest %v, widens %t, faster %t; wanted %v, %t, %t", c.name, fit.Rest, fit.Widens, fit.Faster, c.rest, c.widens, c.faster)
		}
		for i, p := range parts {
			if want := c.parts[i]; math.Abs(p.S-want.S) > 1e-12 || math.Abs(p.U-want.U) > 1e-12 {
				t.Errorf("%s: part %d is %v ± %v, wanted %v ± %v", c.name, i, p.S, p.U, want.S, want.U)
			}
		}
	}
}

// TestWithoutClock: the priors stand, independent of each other.
func TestWithoutClock(t *testing.T) {
	parts := []Part{{Prior: 0.1, UPrior: 0.03}, {Prior: 0, UPrior: 0.04}, {Prior: 0.2}}
	fit := Prior(parts)
	for i, p := range parts {
		if p.S != p.Prior || p.U != p.UPrior || fit.Covariance(parts, i, i) != p.UPrior*p.UPrior {
			t.Errorf("part %d: %+v", i, p)
		}
	}
	if fit.Covariance(parts, 0, 1) != 0 || math.Abs(fit.UOf(parts, func(int) float64 { return 1 })-0.05) > 1e-15 {
		t.Error("priors are correlated")
	}
}
