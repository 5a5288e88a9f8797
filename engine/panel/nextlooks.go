package panel

import (
	"fmt"
	"math"
	"slices"
)

// nextLooks plans blind looks (the evaluator does not know the earlier grades):
// one after the other, the look whose grade is least foreseen by what is known
// so far. For the additive model that is the one that adds most information, ½
// log(1 + leverage) (D-optimal augmentation, Fedorov 1972). When everyone has
// seen everyone, it is a second look by the same evaluator. Ties by name.
func nextLooks(t table, n int) []Look {
	var out []Look
	t.looks = append([]look(nil), t.looks...)
	for range n {
		f := fit(t)
		p, e, most := -1, -1, 0.0
		for i := range t.players {
			for j := range t.evaluators {
				if h := f.leverage(i, j); h > most+1e-9 {
					p, e, most = i, j, h
				}
			}
		}
		if p < 0 {
			break
		}
		out = append(out, Look{
			Bib: t.players[p], Evaluator: t.evaluators[e], Item: t.item,
			Says: foreseen(f, p, e, most),
		})
		t.looks = append(t.looks, look{p, e, 0, f.Adjusted[p] + f.Severity[e]})
	}
	return out
}

// foreseen says why this look teaches most.
func foreseen(f *Fit, p, e int, leverage float64) string {
	again := ""
	if slices.ContainsFunc(f.shares[p], func(s seen) bool { return s.evaluator == e }) {
		again = "a second look, without sight of the first grade: "
	}
	return fmt.Sprintf("%sits grade is foreseen only to ± %.2f of the scatter of a single look, the least of all looks", again, math.Sqrt(leverage))
}
