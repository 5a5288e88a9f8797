package panel

import "math"

// Components are the variances of y = μ + player + evaluator + error, in
// squared grades.
type Components struct {
	Player, Evaluator, Residual float64
}

// reml estimates the components by restricted maximum likelihood, for any
// pattern of looks with at least one degree of freedom for the error. On a
// complete table the answer is the analysis of variance's, unless one of its
// components would be negative.
//
// Henderson's mixed-model equations are solved with the players absorbed; each
// component is then updated as its sum of squares over its effective degrees of
// freedom (Harville 1977; Schall 1991), which keeps it above zero. Two such
// steps point to where they lead, and the next starts there (Aitken's δ²); where
// that does not bring the steps closer together, plain steps follow for a while.
func reml(t table) Components {
	m := newMixed(t)
	if m.total == 0 {
		return Components{}
	}
	c, before, wait := Components{m.total, m.total, m.total}, math.Inf(1), 0
	for range 500 {
		one := m.step(c)
		two := m.step(one)
		moved := apart(one, two)
		if moved <= 1e-13*m.total {
			return m.atZero(two)
		}
		if moved < before && wait == 0 {
			before, c = moved, m.ahead(c, one, two)
			continue
		}
		if wait--; wait < 0 {
			wait = 4
		}
		before, c = moved, two
	}
	return m.atZero(c)
}

// ahead extrapolates three steps in a row to where they lead, each component on
// a log scale (Aitken's δ²), at most 30 times as far as the last step went.
func (m *mixed) ahead(c, one, two Components) Components {
	x, y, z := c.list(), one.list(), two.list()
	for i := range x {
		r := math.Log(y[i] / x[i])
		v := math.Log(z[i]/y[i]) - r
		far := 30.0
		if v*r < 0 {
			far = min(-r/v, 30)
		}
		x[i] = max(min(x[i]*math.Exp(far*r), 10*m.total), m.floor())
	}
	return Components{x[0], x[1], x[2]}
}

func (c Components) list() [3]float64 { return [3]float64{c.Player, c.Evaluator, c.Residual} }

func apart(a, b Components) float64 {
	return math.Abs(a.Player-b.Player) + math.Abs(a.Evaluator-b.Evaluator) + math.Abs(a.Residual-b.Residual)
}

// mixed is the data of the mixed-model equations.
type mixed struct {
	looks []look    // grades from their mean
	total float64   // variance of all grades
	rows  []row     // looks of each player by evaluator
	sums  []float64 // of grades per player
	by    []float64 // and per evaluator
	all   float64   // and over all
}

func newMixed(t table) *mixed {
	m := &mixed{
		looks: make([]look, len(t.looks)), rows: t.rows(),
		sums: make([]float64, len(t.players)), by: make([]float64, len(t.evaluators)),
	}
	centre := 0.0
	for _, l := range t.looks {
		centre += l.grade / float64(len(t.looks))
	}
	for i, l := range t.looks {
		l.grade -= centre
		m.looks[i] = l
		m.total += l.grade * l.grade / float64(len(t.looks))
		m.sums[l.player] += l.grade
		m.by[l.evaluator] += l.grade
		m.all += l.grade
	}
	return m
}

// floor is what a component never falls below on the way: nothing beside the
// whole, but enough to divide by.
func (m *mixed) floor() float64 { return 1e-9 * m.total }

// step solves the equations at c and returns the updated components.
func (m *mixed) step(c Components) Components {
	lambdaP, lambdaE := c.Residual/c.Player, c.Residual/c.Evaluator
	inv, fixed, weight := m.solve(lambdaP, lambdaE)
	level, severity := fixed[len(m.by)], fixed[:len(m.by)]

	var next Components
	players, trace := make([]float64, len(m.sums)), 0.0
	for p, r := range m.rows {
		n := r.weight()
		players[p] = weight[p] * (m.sums[p] - n*level - r.dot(severity))
		next.Player += sq(players[p])
		spread := r.form(inv) + 2*n*r.dot(inv[len(m.by)]) + n*n*inv[len(m.by)][len(m.by)]
		trace += weight[p] + sq(weight[p])*spread
	}
	freeP, freeE := float64(len(m.sums))-lambdaP*trace, float64(len(m.by))
	for e, s := range severity {
		next.Evaluator += sq(s)
		freeE -= lambdaE * inv[e][e]
	}
	for _, l := range m.looks {
		next.Residual += sq(l.grade - level - players[l.player] - severity[l.evaluator])
	}
	return Components{
		Player:    m.ratio(next.Player, freeP),
		Evaluator: m.ratio(next.Evaluator, freeE),
		Residual:  m.ratio(next.Residual, float64(len(m.looks)-1)-freeP-freeE),
	}
}

// solve absorbs the players and inverts what is left: the evaluators and, last,
// μ. weight is 1/(looks + λ) of each player.
func (m *mixed) solve(lambdaP, lambdaE float64) (inv [][]float64, fixed, weight []float64) {
	mu := len(m.by)
	left, right := square(mu+1), append(append([]float64(nil), m.by...), m.all)
	weight = make([]float64, len(m.sums))
	for e := range m.by {
		left[e][e] = lambdaE
	}
	for p, r := range m.rows {
		n := r.weight()
		w := 1 / (n + lambdaP)
		weight[p] = w
		left[mu][mu] += n - w*n*n
		right[mu] -= w * n * m.sums[p]
		for _, a := range r {
			left[a.evaluator][a.evaluator] += a.weight
			left[a.evaluator][mu] += a.weight - w*n*a.weight
			left[mu][a.evaluator] = left[a.evaluator][mu]
			right[a.evaluator] -= w * a.weight * m.sums[p]
			for _, b := range r {
				left[a.evaluator][b.evaluator] -= w * a.weight * b.weight
			}
		}
	}
	inv = inverse(left)
	fixed = make([]float64, mu+1)
	for i := range fixed {
		fixed[i] = dot(inv[i], right)
	}
	return inv, fixed, weight
}

func (m *mixed) ratio(sum, free float64) float64 {
	if free <= 0 {
		return m.floor()
	}
	return max(sum/free, m.floor())
}

// atZero takes what has shrunk to nothing beside the whole as nothing.
func (m *mixed) atZero(c Components) Components {
	for _, v := range []*float64{&c.Player, &c.Evaluator, &c.Residual} {
		if *v < 10*m.floor() {
			*v = 0
		}
	}
	return c
}
