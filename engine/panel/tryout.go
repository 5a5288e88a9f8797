package panel

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"rootcue/engine/place"
)

// Options of a tryout.
type Options struct {
	Weights map[string]float64 // by item; nil: all items alike. Below zero: less is better
	Best    int                // places of which chance_best speaks; 0 counts as 1
	Looks   int                // blind looks to plan for each item
	Barred  Barred             // nil: every evaluator may look at every player
}

// Barred says whether an evaluator must not look at a player: no such look is
// planned.
type Barred func(evaluator, bib string) bool

// A Result is what a tryout comes to. Lists are never null.
type Result struct {
	Agreement []Agreement `json:"agreement"`
	Severity  []Severity  `json:"severity"`
	Standing  []Standing  `json:"standing"` // best first; empty when a panel is unconnected
	Missing   []Missing   `json:"missing"`
	Flags     []Flag      `json:"flags"`
	Notes     []Note      `json:"notes"`
	Looks     []Look      `json:"looks"`       // blind looks that would teach most
	Without   []Without   `json:"without"`     // what changes when one evaluator is left out
	Splits    []Split     `json:"unconnected"` // items whose panel falls apart; with any there is no standing
}

// Severity is how much more (positive) or less an evaluator gives than the
// average evaluator, in grades, with its standard uncertainty.
type Severity struct {
	Item      string `json:"item"`
	Evaluator string `json:"evaluator"`
	Value     Figure `json:"value"`
	U         Figure `json:"u"`
}

// Standing is where a player stands. Score and U are in units of the panel's
// player standard deviation, 0 the panel's mean; Rank is the mean rank, RankLow
// to RankHigh its 95 % interval.
type Standing struct {
	Bib        string              `json:"bib"`
	Items      map[string]Measured `json:"items"`
	Score      Figure              `json:"score"`
	U          Figure              `json:"u"`
	Rank       Figure              `json:"rank"`
	RankLow    *int                `json:"rank_low"`
	RankHigh   *int                `json:"rank_high"`
	Tier       int                 `json:"tier"`
	ChanceBest Figure              `json:"chance_best"`
}

// Measured is a player's grade on an item: as an average evaluator would give
// it, as it was, and the standard uncertainty of the adjusted one.
type Measured struct {
	Adjusted Figure `json:"adjusted"`
	Raw      Figure `json:"raw"`
	U        Figure `json:"u"`
}

// Missing is an item a player was not graded on.
type Missing struct {
	Bib  string `json:"bib"`
	Item string `json:"item"`
	Says string `json:"says"`
}

// A Note is a remark on how the answer came about.
type Note struct {
	Code string `json:"code"`
	Says string `json:"says"`
}

// Tryout judges the panel and stands the players. Problems are of the options
// or of grades that contradict each other; with any, the result is empty.
func Tryout(grades []Grade, o Options) (Result, []place.Problem) {
	if problems := append(checkGrades(grades), checkOptions(grades, o)...); len(problems) > 0 {
		return Result{}, problems
	}
	r := Result{Severity: []Severity{}, Standing: []Standing{}, Missing: []Missing{}, Flags: []Flag{}, Notes: []Note{}, Looks: []Look{}, Without: []Without{}, Splits: []Split{}}
	all := tables(grades)
	var items []item
	offset := 0
	for _, t := range all {
		r.Agreement = append(r.Agreement, agreement(t))
		r.Notes = append(r.Notes, repeats(t)...)
		s, connected := split(t, o.Barred)
		if !connected {
			r.Splits = append(r.Splits, s)
			r.Flags = append(r.Flags, Flag{Item: t.item, Code: "unconnected", Says: s.Says()})
			r.Looks = append(r.Looks, s.Joins...)
			continue
		}
		it := newItem(fit(t), componentsOf(t), weightOf(o, len(all), t.item), offset)
		offset += len(t.evaluators)
		items = append(items, it)
		r.addItem(t, it, o)
	}
	if len(r.Splits) > 0 {
		return r, nil
	}
	bibs := names(grades, bibOf)
	order := ordered(scores(items, bibs))
	pulls(order, items)
	r.stand(order, items, max(o.Best, 1))
	r.Missing = append(r.Missing, missing(items, bibs)...)
	r.Without = append(r.Without, without(all, items, order, max(o.Best, 1))...)
	return r, nil
}

// componentsOf estimates the variances where the design allows it.
func componentsOf(t table) Components {
	if free(t) <= 0 || len(t.players) < 2 {
		return Components{Player: 0, Evaluator: 0, Residual: unknown}
	}
	return reml(t)
}

// weightOf is the item's weight; without weights all items share 1.
func weightOf(o Options, items int, item string) float64 {
	if o.Weights == nil {
		return 1 / float64(items)
	}
	return o.Weights[item]
}

// addItem reports what is said item by item.
func (r *Result) addItem(t table, it item, o Options) {
	for e, name := range t.evaluators {
		r.Severity = append(r.Severity, Severity{t.item, name, Figure(it.fit.Severity[e]), Figure(it.fit.SeverityU(e))})
	}
	r.Flags = append(r.Flags, flags(t, it.fit)...)
	r.Looks = append(r.Looks, nextLooks(t, o.Looks, o.Barred)...)
	switch {
	case it.fit.Free <= 0:
		r.Notes = append(r.Notes, Note{"no-scatter", fmt.Sprintf("%s: no look can be checked by another, so no uncertainty is known", t.item)})
	case it.sd == 0:
		r.Notes = append(r.Notes, Note{"no-difference", fmt.Sprintf("%s: beyond the scatter of the grades the panel found no difference between players; the item does not count", t.item)})
	}
	if it.weight == 0 {
		r.Notes = append(r.Notes, Note{"no-weight", fmt.Sprintf("%s has no weight and does not count", t.item)})
	}
}

// ordered sorts by score, best first; level scores by bib.
func ordered(entries []entry) []entry {
	slices.SortStableFunc(entries, func(a, b entry) int {
		return cmp.Or(cmp.Compare(b.score, a.score), byName(a.bib, b.bib))
	})
	return entries
}

// stand fills in the standing from the ordered entries.
func (r *Result) stand(order []entry, items []item, best int) {
	for i, k := range ranks(order, best) {
		s := Standing{Bib: order[i].bib, Items: map[string]Measured{}, Score: Figure(order[i].score), U: Figure(order[i].u()),
			Rank: Figure(k.mean), Tier: k.tier, ChanceBest: Figure(k.best)}
		if k.low > 0 {
			s.RankLow, s.RankHigh = &k.low, &k.high
		}
		for _, it := range items {
			if p, ok := it.player[s.Bib]; ok {
				s.Items[it.fit.Item] = Measured{Figure(it.fit.Adjusted[p]), Figure(it.fit.Raw[p]), Figure(it.fit.AdjustedU(p))}
			}
		}
		r.Standing = append(r.Standing, s)
	}
}

// missing lists who was not graded on what.
func missing(items []item, bibs []string) []Missing {
	var out []Missing
	for _, it := range items {
		for _, bib := range bibs {
			if _, ok := it.player[bib]; !ok {
				out = append(out, Missing{bib, it.fit.Item, fmt.Sprintf("nobody graded %s on %s; the score rests on the other items, with more uncertainty", bib, it.fit.Item)})
			}
		}
	}
	return out
}

// repeats tells how far an evaluator's second looks lie from the first.
func repeats(t table) []Note {
	apart := make([][]float64, len(t.evaluators))
	for i, l := range t.looks {
		if i > 0 && l.player == t.looks[i-1].player && l.evaluator == t.looks[i-1].evaluator {
			apart[l.evaluator] = append(apart[l.evaluator], math.Abs(l.grade-t.looks[i-1].grade))
		}
	}
	var out []Note
	for e, d := range apart {
		if len(d) > 0 {
			out = append(out, Note{"second-looks", fmt.Sprintf("%s: %s graded %s twice; the two grades differ by %.2g on average",
				t.item, t.evaluators[e], players(len(d)), mean(d))})
		}
	}
	return out
}

func players(n int) string {
	if n == 1 {
		return "1 player"
	}
	return fmt.Sprintf("%d players", n)
}
