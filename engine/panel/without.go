package panel

import (
	"fmt"
	"math"
	"strings"
)

// Without is what would change in the order if one evaluator's grades were left
// out, the spread of players and of single looks taken as the whole panel's.
type Without struct {
	Evaluator string `json:"evaluator"`
	Moves     []Move `json:"moves"` // players who enter or leave the best places, or the largest move
	Says      string `json:"says"`
}

// A Move is a player's place by score with and without the evaluator.
type Move struct {
	Bib  string `json:"bib"`
	From int    `json:"from"`
	To   int    `json:"to"`
}

// without tries each evaluator in turn.
func without(all []table, items []item, order []entry, best int) []Without {
	var everyone []Grade
	for _, t := range all {
		for _, e := range t.evaluators {
			everyone = append(everyone, Grade{Evaluator: e})
		}
	}
	evaluators := names(everyone, evaluatorOf)
	if len(evaluators) < 2 {
		return nil
	}
	out := make([]Without, len(evaluators))
	for i, e := range evaluators {
		out[i] = leaveOut(e, all, items, order, best)
	}
	return out
}

func leaveOut(evaluator string, all []table, items []item, order []entry, best int) Without {
	w := Without{Evaluator: evaluator, Moves: []Move{}}
	var rest []item
	for i, t := range all {
		t = t.without(evaluator)
		if len(t.looks) == 0 {
			continue
		}
		if s, ok := split(t, nil); !ok {
			w.Says = fmt.Sprintf("without %s the panel falls apart: %s", evaluator, s.Says())
			return w
		}
		it := items[i]
		rest = append(rest, refit(it, t))
	}
	bibs := make([]string, len(order))
	for i, e := range order {
		bibs[i] = e.bib
	}
	w.Moves = moves(order, ordered(scores(rest, bibs)), best)
	w.Says = movesSay(evaluator, w.Moves, best)
	return w
}

// refit fits the remaining grades and keeps the whole panel's spreads.
func refit(it item, t table) item {
	f := fit(t)
	f.Variance = it.fit.Variance
	c := Components{Player: sq(it.sd)}
	free := f.Free
	f.Free = math.MaxInt // the spreads are known
	out := newItem(f, c, it.weight, it.offset)
	f.Free = free
	return out
}

// moves lists who enters or leaves the best places; if nobody does, whoever
// moves farthest.
func moves(before, after []entry, best int) []Move {
	to := make(map[string]int, len(after))
	for i, e := range after {
		to[e.bib] = i + 1
	}
	out, farthest := []Move{}, Move{}
	for i, e := range before {
		m := Move{e.bib, i + 1, to[e.bib]}
		if (m.From <= best) != (m.To <= best) {
			out = append(out, m)
		}
		if m.size() > farthest.size() {
			farthest = m
		}
	}
	if len(out) == 0 && farthest.size() > 0 {
		out = append(out, farthest)
	}
	return out
}

func (m Move) size() int { return max(m.From-m.To, m.To-m.From) }

func movesSay(evaluator string, moves []Move, best int) string {
	if len(moves) == 0 {
		return fmt.Sprintf("without %s the order stays", evaluator)
	}
	var each []string
	for _, m := range moves {
		each = append(each, fmt.Sprintf("%s from place %d to %d", m.Bib, m.From, m.To))
	}
	first := moves[0]
	if (first.From <= best) != (first.To <= best) {
		return fmt.Sprintf("without %s the best %d would change: %s", evaluator, best, list(each))
	}
	return fmt.Sprintf("without %s the best %d stay; the largest move is %s", evaluator, best, strings.Join(each, ""))
}
