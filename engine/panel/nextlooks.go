package panel

import (
	"fmt"
	"math"
	"slices"
)

// NextLooks plans n blind looks for each item, as Tryout does; where a panel falls
// apart, the fewest looks that join it.
func NextLooks(grades []Grade, n int, barred Barred) []Look {
	out := []Look{}
	for _, t := range tables(grades) {
		if s, connected := split(t, barred); !connected {
			out = append(out, s.Joins...)
			continue
		}
		out = append(out, nextLooks(t, n, barred)...)
	}
	return out
}

// at asks by index into a table.
func (b Barred) at(t table, evaluator, player int) bool {
	return b != nil && b(t.evaluators[evaluator], t.players[player])
}

// nextLooks plans blind looks (the evaluator does not know the earlier grades):
// one after the other, the look whose grade is least foreseen by what is known
// so far. For the additive model that is the one that adds most information, ½
// log(1 + leverage) (D-optimal augmentation, Fedorov 1972). When everyone has
// seen everyone, it is a second look by the same evaluator. Ties by name.
func nextLooks(t table, n int, barred Barred) []Look {
	var out []Look
	t.looks = append([]look(nil), t.looks...)
	for range n {
		f := fit(t)
		p, e, most := -1, -1, 0.0
		for i := range t.players {
			for j := range t.evaluators {
				if h := f.leverage(i, j); h > most+1e-9 && !barred.at(t, j, i) {
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
