package panel

import "math"

// A Fit is the additive model y = μ + player + evaluator of one item, by least
// squares with the evaluators summing to zero.
type Fit struct {
	Item       string
	Players    []string
	Evaluators []string
	Raw        []float64 // mean of the grades a player got
	Adjusted   []float64 // μ + player: the mean from an average evaluator
	Severity   []float64 // evaluator's effect; positive gives more
	Variance   float64   // of the error, squared grades; NaN without degrees of freedom
	Free       int       // degrees of freedom of the error

	looks  []float64   // per player
	shares []row       // of a player's looks, by evaluator
	spread [][]float64 // covariance of Severity in units of Variance
}

// fit solves the model of a connected table. With the players absorbed the
// normal equations are those of a graph of evaluators, singular along "all
// alike"; adding that direction and taking it off again gives the solution that
// sums to zero.
func fit(t table) *Fit {
	f := &Fit{
		Item: t.item, Players: t.players, Evaluators: t.evaluators,
		Raw: make([]float64, len(t.players)), Adjusted: make([]float64, len(t.players)),
		Severity: make([]float64, len(t.evaluators)),
		Free:     len(t.looks) - len(t.players) - len(t.evaluators) + 1,
		looks:    make([]float64, len(t.players)),
		shares:   t.rows(),
	}
	for _, l := range t.looks {
		f.looks[l.player]++
		f.Raw[l.player] += l.grade
	}
	for p, n := range f.looks {
		f.Raw[p] /= n
		for i := range f.shares[p] {
			f.shares[p][i].weight /= n
		}
	}
	f.solve(t)
	f.Variance = f.residualVariance(t)
	return f
}

func (f *Fit) solve(t table) {
	k := len(f.Evaluators)
	left, right, alike := square(k), make([]float64, k), 1/float64(k)
	for p, row := range f.shares {
		for _, a := range row {
			left[a.evaluator][a.evaluator] += f.looks[p] * a.weight
			for _, b := range row {
				left[a.evaluator][b.evaluator] -= f.looks[p] * a.weight * b.weight
			}
		}
	}
	for _, l := range t.looks {
		right[l.evaluator] += l.grade - f.Raw[l.player]
	}
	for a := range k {
		for b := range k {
			left[a][b] += alike
		}
	}
	f.spread = inverse(left)
	for a := range k {
		for b := range k {
			f.spread[a][b] -= alike
		}
	}
	for e := range k {
		f.Severity[e] = dot(f.spread[e], right)
	}
	for p := range f.Players {
		f.Adjusted[p] = f.Raw[p] - f.shares[p].dot(f.Severity)
	}
}

func (f *Fit) residualVariance(t table) float64 {
	if f.Free <= 0 {
		return unknown
	}
	sum := 0.0
	for _, l := range t.looks {
		sum += sq(l.grade - f.Adjusted[l.player] - f.Severity[l.evaluator])
	}
	return sum / float64(f.Free)
}

// SeverityU is the standard uncertainty of an evaluator's severity, in grades.
func (f *Fit) SeverityU(e int) float64 {
	return math.Sqrt(f.Variance * max(f.spread[e][e], 0))
}

// AdjustedU is the standard uncertainty of a player's adjusted mean, in grades:
// the scatter of the looks, and not knowing the severities.
func (f *Fit) AdjustedU(p int) float64 {
	return math.Sqrt(f.Variance * (1/f.looks[p] + max(f.shares[p].form(f.spread), 0)))
}

// leverage is the variance, in units of the error's, of what the model expects
// an evaluator to give a player: how little is known of that look.
func (f *Fit) leverage(p, e int) float64 {
	gap := f.spread[e][e] - 2*f.shares[p].dot(f.spread[e]) + f.shares[p].form(f.spread)
	return 1/f.looks[p] + max(gap, 0)
}
