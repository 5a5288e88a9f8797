package panel

import "math"

// An entry is a player on the way to a rank. The true score given the grades is
// score + √own · z − pull · s, with z and the s independent standard normals:
// own is what the player's few looks leave open, pull how errors in the
// evaluators' severities move the player, together with everyone they graded.
type entry struct {
	bib         string
	score       float64
	own         float64
	pull        []float64
	reliability float64
}

// u is the standard uncertainty of the score.
func (e entry) u() float64 { return math.Sqrt(e.own + dot(e.pull, e.pull)) }

// An item is what the score takes from one fitted item.
type item struct {
	fit    *Fit
	weight float64
	centre float64 // mean adjusted grade
	sd     float64 // players' standard deviation on the panel, in grades; 0: no differences found
	player map[string]int
	lower  [][]float64 // L of the severities' covariance LLᵀ, in squared grades
	offset int         // of this item's evaluators in pull
}

// newItem takes the players' spread from the variance components, or where
// nothing tells it from the error, from the adjusted grades as they are.
func newItem(f *Fit, c Components, weight float64, offset int) item {
	it := item{fit: f, weight: weight, centre: mean(f.Adjusted), sd: math.Sqrt(c.Player), player: index(f.Players), offset: offset}
	if f.Free <= 0 && len(f.Adjusted) > 1 {
		it.sd = deviation(f.Adjusted)
	}
	covariance := square(len(f.Evaluators))
	for a := range covariance {
		for b := range covariance {
			covariance[a][b] = f.Variance * f.spread[a][b]
		}
	}
	it.lower = lower(covariance)
	return it
}

// z is the player's adjusted grade in units of the panel's player standard
// deviation, from the panel's mean.
func (it item) z(p int) float64 { return (it.fit.Adjusted[p] - it.centre) / it.sd }

// noise is the variance of z from the scatter of the player's own looks.
func (it item) noise(p int) float64 { return it.fit.Variance / it.fit.looks[p] / sq(it.sd) }

// scores gives every player's score: the sum of weight × z over the items,
// shrunk by its own reliability Var(true)/Var(true + noise). An item the player
// was not graded on stands at the panel's mean as far as the other items do not
// tell, and its spread goes into the uncertainty.
func scores(items []item, bibs []string) []entry {
	items = telling(items)
	together := correlations(items)
	out := make([]entry, len(bibs))
	for i, bib := range bibs {
		out[i] = scoreOf(bib, items, together)
	}
	return out
}

// scoreOf shrinks one player's sum. With S the sum over the items seen and T the
// true sum over all, both normal: E(T|S) = Cov(T,S)/Var(S) · S.
func scoreOf(bib string, items []item, together [][]float64) entry {
	all, seen := make([]float64, len(items)), make([]float64, len(items))
	sum, noise := 0.0, 0.0
	for i, it := range items {
		all[i] = it.weight
		if p, ok := it.player[bib]; ok {
			seen[i] = it.weight
			sum += it.weight * it.z(p)
			noise += sq(it.weight) * it.noise(p)
		}
	}
	whole, part, both := form(together, all), form(together, seen), 0.0
	for i := range all {
		both += all[i] * dot(together[i], seen)
	}
	reliability := 0.0
	if part > 0 {
		reliability = both / (part + noise)
	}
	e := entry{bib: bib, score: reliability * sum, own: max(whole-reliability*both, 0), reliability: reliability}
	if math.IsNaN(noise) { // no degrees of freedom: the sum as it is, its uncertainty unknown
		e.score, e.own = sum, unknown
	}
	return e
}

// pulls fills in how the severities' errors move each entry.
func pulls(entries []entry, items []item) {
	items = telling(items)
	shared := 0
	for _, it := range items {
		shared = max(shared, it.offset+len(it.fit.Evaluators))
	}
	for i := range entries {
		e := &entries[i]
		e.pull = make([]float64, shared)
		for _, it := range items {
			p, ok := it.player[e.bib]
			if !ok {
				continue
			}
			for _, by := range it.fit.shares[p] {
				for c := range by.evaluator + 1 {
					e.pull[it.offset+c] += e.reliability * it.weight / it.sd * by.weight * it.lower[by.evaluator][c]
				}
			}
		}
	}
}

// telling leaves out items on which the panel found no difference between
// players: in units of a spread of zero there is nothing to say.
func telling(items []item) []item {
	var out []item
	for _, it := range items {
		if it.sd > 0 && it.weight != 0 {
			out = append(out, it)
		}
	}
	return out
}

// correlations estimates how the players' true z go together across items: the
// errors of two items are independent, so the mean product of z over players
// graded on both is the true one. On the diagonal it is 1 by the choice of unit.
func correlations(items []item) [][]float64 {
	r := square(len(items))
	for a := range items {
		r[a][a] = 1
		for b := range a {
			sum, n := 0.0, 0.0
			for p, bib := range items[a].fit.Players {
				if q, ok := items[b].player[bib]; ok {
					sum += items[a].z(p) * items[b].z(q)
					n++
				}
			}
			if n > 1 {
				r[a][b] = max(-1, min(1, sum/(n-1)))
				r[b][a] = r[a][b]
			}
		}
	}
	return r
}
