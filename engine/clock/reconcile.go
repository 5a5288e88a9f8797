// Package clock shares the time lost in a throw out among the faults that were
// seen, by generalised least squares.
package clock

import "math"

// A Loss is what the clock shows and what is known of its scatter, in seconds.
type Loss struct {
	T           float64 // exchange less reference
	U           float64 // standard uncertainty of T
	Unexplained float64 // scatter that no fault explains, standard deviation
}

// A Part is one fault's share: prior and reconciled seconds, with their
// standard uncertainties.
type Part struct {
	Prior, UPrior float64
	S, U          float64
}

// A Fit says how the reconciled parts relate to the clock.
type Fit struct {
	Rest   float64 // T − Σ parts
	Widens bool    // the loss is larger than the faults: the scatter was widened
	Faster bool    // the clock is well below what the faults would cost
	w, v   float64 // variance of the rest; Σ of the free parts' variances
	free   []bool
}

// Reconcile fills S and U of the parts: the minimum of
// Σ (x_i − m_i)²/v_i + (T − Σx)²/w over x ≥ 0, with m, v the priors and
// w = u_T² + σ². Where the loss T is above M = Σm, σ² is at least
// ((T−M)/2)² − V − u_T², so that a loss no fault explains is not pressed into
// the parts.
func Reconcile(loss Loss, parts []Part) Fit {
	m, v := 0.0, 0.0
	for _, p := range parts {
		m += p.Prior
		v += p.UPrior * p.UPrior
	}
	gap := loss.T - m
	variance := loss.Unexplained * loss.Unexplained
	fit := Fit{free: make([]bool, len(parts))}
	if least := gap*gap/4 - v - loss.U*loss.U; gap > 0 && least > variance {
		variance, fit.Widens = least, true
	}
	fit.w = loss.U*loss.U + variance
	fit.Faster = gap < -2*math.Sqrt(v+fit.w)
	solve(loss.T, parts, &fit)
	for i := range parts {
		parts[i].U = math.Sqrt(math.Max(0, fit.Covariance(parts, i, i)))
	}
	return fit
}

// solve finds x_i = max(0, m_i + v_i·g), g = (T − Σx)/w. Parts that would fall
// below 0 are bound there one after the other, the first to reach it first;
// bound parts stay bound as g only falls.
func solve(t float64, parts []Part, fit *Fit) {
	for i, p := range parts {
		fit.free[i] = p.UPrior > 0
		parts[i].S = p.Prior
	}
	for {
		m, g := 0.0, 0.0
		fit.v = 0
		for i, p := range parts {
			if fit.free[i] {
				fit.v += p.UPrior * p.UPrior
			}
			if fit.free[i] || p.UPrior == 0 {
				m += p.Prior
			}
		}
		if fit.v+fit.w > 0 {
			g = (t - m) / (fit.v + fit.w)
		}
		if !bindBelow(g, parts, fit.free) {
			place(g, parts, fit.free)
			break
		}
	}
	fit.Rest = t
	for _, p := range parts {
		fit.Rest -= p.S
	}
}

// bindBelow binds every part that g would press below 0.
func bindBelow(g float64, parts []Part, free []bool) (any bool) {
	for i, p := range parts {
		if free[i] && p.Prior+p.UPrior*p.UPrior*g < 0 {
			free[i], any = false, true
		}
	}
	return any
}

func place(g float64, parts []Part, free []bool) {
	for i, p := range parts {
		switch {
		case free[i]:
			parts[i].S = p.Prior + p.UPrior*p.UPrior*g
		case p.UPrior > 0:
			parts[i].S = 0
		}
	}
}

// Prior fills S and U from the priors: what stands when no clock was seen.
func Prior(parts []Part) Fit {
	fit := Fit{free: make([]bool, len(parts)), w: math.Inf(1)}
	for i := range parts {
		parts[i].S, parts[i].U = parts[i].Prior, parts[i].UPrior
		fit.free[i] = true
	}
	return fit
}

// Covariance of two reconciled parts: diag(v) − vvᵀ/(V + w) over the parts not
// bound at 0, which vary no more.
func (f *Fit) Covariance(parts []Part, i, j int) float64 {
	if !f.free[i] || !f.free[j] {
		return 0
	}
	vi, vj := parts[i].UPrior*parts[i].UPrior, parts[j].UPrior*parts[j].UPrior
	c := 0.0
	if i == j {
		c = vi
	}
	if f.v+f.w > 0 {
		c -= vi * vj / (f.v + f.w)
	}
	return c
}

// UOf is the standard uncertainty of Σ a_i·part_i, √(aᵀ Cov a).
func (f *Fit) UOf(parts []Part, a func(i int) float64) float64 {
	own, all := 0.0, 0.0
	for i, p := range parts {
		if f.free[i] {
			v := p.UPrior * p.UPrior
			own += a(i) * a(i) * v
			all += a(i) * v
		}
	}
	if f.v+f.w > 0 {
		own -= all * all / (f.v + f.w)
	}
	return math.Sqrt(math.Max(0, own))
}
