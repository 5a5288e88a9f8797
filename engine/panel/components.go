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
// Henderson's mixed-model equations are solved with the players absorbed, so
// that a step costs players × evaluators²; each component is then updated as
// its sum of squares over its effective degrees of freedom (Harville 1977;
// Schall 1991), which keeps it above zero.
func reml(t table) Components {
	m := newMixed(t)
	if m.total == 0 {
		return Components{}
	}
	c := Components{m.total, m.total, m.total}
	for range 5000 {
		next := m.step(c)
		moved := math.Abs(next.Player-c.Player) + math.Abs(next.Evaluator-c.Evaluator) + math.Abs(next.Residual-c.Residual)
		c = next
		if moved <= 1e-13*m.total {
			break
		}
	}
	return m.atZero(c)
}

// mixed is the data of the mixed-model equations; the first column of counts
// stands for μ, the others for the evaluators.
type mixed struct {
	looks  []look
	total  float64     // variance of all grades
	counts [][]float64 // per player: looks, then looks by each evaluator
	sums   []float64   // per player
	rhs    []float64   // grades in all, then by each evaluator
}

func newMixed(t table) *mixed {
	columns := len(t.evaluators) + 1
	m := &mixed{
		looks:  make([]look, len(t.looks)),
		counts: rectangle(len(t.players), columns),
		sums:   make([]float64, len(t.players)),
		rhs:    make([]float64, columns),
	}
	centre := 0.0
	for _, l := range t.looks {
		centre += l.grade / float64(len(t.looks))
	}
	for i, l := range t.looks {
		l.grade -= centre
		m.looks[i] = l
		m.total += l.grade * l.grade / float64(len(t.looks))
		m.counts[l.player][0]++
		m.counts[l.player][1+l.evaluator]++
		m.sums[l.player] += l.grade
		m.rhs[0] += l.grade
		m.rhs[1+l.evaluator] += l.grade
	}
	return m
}

// step solves the equations at c and returns the updated components.
func (m *mixed) step(c Components) Components {
	floor := 1e-14 * m.total
	lambdaP, lambdaE := c.Residual/max(c.Player, floor), c.Residual/max(c.Evaluator, floor)
	inv, fixed, weight := m.solve(lambdaP, lambdaE)

	var next Components
	players, trace := make([]float64, len(m.sums)), 0.0
	for p, row := range m.counts {
		players[p] = weight[p] * (m.sums[p] - dot(row, fixed))
		next.Player += sq(players[p])
		trace += weight[p] + sq(weight[p])*form(inv, row)
	}
	freeP, freeE := float64(len(m.sums))-lambdaP*trace, float64(len(fixed)-1)
	for e := 1; e < len(fixed); e++ {
		next.Evaluator += sq(fixed[e])
		freeE -= lambdaE * inv[e][e]
	}
	for _, l := range m.looks {
		next.Residual += sq(l.grade - fixed[0] - players[l.player] - fixed[1+l.evaluator])
	}
	next.Player = ratio(next.Player, freeP)
	next.Evaluator = ratio(next.Evaluator, freeE)
	next.Residual = max(ratio(next.Residual, float64(len(m.looks)-1)-freeP-freeE), 1e-9*m.total)
	return next
}

// solve absorbs the players and inverts what is left: μ and the evaluators.
// weight is 1/(looks + λ) of each player.
func (m *mixed) solve(lambdaP, lambdaE float64) (inv [][]float64, fixed, weight []float64) {
	n := len(m.rhs)
	left, right := square(n), append([]float64(nil), m.rhs...)
	weight = make([]float64, len(m.sums))
	for e := 1; e < n; e++ {
		left[e][e] = lambdaE
	}
	for p, row := range m.counts {
		w := 1 / (row[0] + lambdaP)
		weight[p] = w
		for i := range n {
			for j := range n {
				left[i][j] -= w * row[i] * row[j]
			}
			right[i] -= w * row[i] * m.sums[p]
			left[0][i] += row[i] // looks in all, and by evaluator
			if i > 0 {
				left[i][0] += row[i]
				left[i][i] += row[i]
			}
		}
	}
	inv = inverse(left)
	fixed = make([]float64, n)
	for i := range n {
		fixed[i] = dot(inv[i], right)
	}
	return inv, fixed, weight
}

// atZero takes what has shrunk to nothing beside the whole as nothing.
func (m *mixed) atZero(c Components) Components {
	for _, v := range []*float64{&c.Player, &c.Evaluator, &c.Residual} {
		if *v < 1e-8*m.total {
			*v = 0
		}
	}
	return c
}

func ratio(sum, free float64) float64 {
	if free <= 0 {
		return 0
	}
	return sum / free
}
