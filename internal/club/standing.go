package club

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"rootcue/engine/panel"
	"rootcue/engine/place"
	"rootcue/internal/store"
)

// A Standing is what the panel of a tryout comes to: agreement, severity, flags
// and the players' places, by bib alone.
type Standing struct {
	panel.Result
	State   string             // of the tryout
	Grades  int                // that count
	Weights map[string]float64 // of the items, as set
	Best    int                // places of which chance_best speaks
	LeftOut []LeftOut          // grades that are kept and do not count
}

// LeftOut are grades that are kept and do not count, and why.
type LeftOut struct {
	Code      string // withdrawn, recused, not-on-panel, not-an-item
	Bib       string // of withdrawn and recused, else ""
	Evaluator string // of recused and not-on-panel, else ""
	Item      string // of not-an-item, else ""
	Grades    int
}

// Says puts it into words.
func (l LeftOut) Says() string {
	n := fmt.Sprintf("%d grades", l.Grades)
	if l.Grades == 1 {
		n = "one grade"
	}
	switch l.Code {
	case "withdrawn":
		return fmt.Sprintf("%s of bib %s, who is withdrawn", n, l.Bib)
	case "recused":
		return fmt.Sprintf("%s of bib %s by %s, who is recused from the player", n, l.Bib, l.Evaluator)
	case "not-on-panel":
		return fmt.Sprintf("%s by %s, who is not on the panel", n, l.Evaluator)
	}
	return fmt.Sprintf("%s on %s, which is not an item of the tryout", n, l.Item)
}

// supports is the caution that goes with every standing.
var supports = panel.Note{Code: "supports-only", Says: "A standing helps the club to decide and decides nothing. Players of one tier are not told apart. It is never shown with names, and no player is told a place."}

// Standing judges the panel and stands the players. The same grades and settings
// give the same answer. A panel that falls apart has no standing: the parts and
// the fewest looks that join them are told instead.
func (c *Clubs) Standing(ctx context.Context, a Actor, id string) (Standing, error) {
	e, err := c.Event(ctx, a, id)
	if err != nil {
		return Standing{}, err
	}
	return e.Standing()
}

// Standing is the standing at the moment of the event.
func (e *Event) Standing() (Standing, error) {
	s := Standing{State: e.State, Weights: e.Weights(), Best: e.Settings.Best, LeftOut: e.leftOut, Grades: len(e.counted)}
	o, notes := e.options()
	switch {
	case len(e.counted) == 0:
		s.Result = panel.Result{Agreement: []panel.Agreement{}, Severity: []panel.Severity{}, Standing: []panel.Standing{}, Missing: []panel.Missing{},
			Flags: []panel.Flag{}, Looks: []panel.Look{}, Without: []panel.Without{}, Splits: []panel.Split{}}
		notes = append(notes, panel.Note{Code: "no-grades", Says: "no grade counts yet, so nobody stands anywhere"})
	default:
		var wrong []place.Problem
		if s.Result, wrong = panel.Tryout(e.counted, o); len(wrong) > 0 {
			return s, &Refusal{wrong}
		}
		if o.Weights == nil {
			s.Result.Standing, s.Result.Without = []panel.Standing{}, []panel.Without{}
		}
	}
	s.Notes = slices.Concat([]panel.Note{supports}, e.notes(), notes, s.Notes)
	return s, nil
}

// sift parts the grades that count from those that do not.
func (e *Event) sift(rows []store.Grade, withdrawn map[string]bool) {
	aside := map[LeftOut]int{}
	for _, r := range rows {
		item := e.item(r.Item)
		switch {
		case withdrawn[r.Bib]:
			aside[LeftOut{Code: "withdrawn", Bib: r.Bib}]++
		case e.recused[[2]string{r.Evaluator, r.Bib}]:
			aside[LeftOut{Code: "recused", Bib: r.Bib, Evaluator: r.Evaluator}]++
		case !e.onPanel(r.Evaluator):
			aside[LeftOut{Code: "not-on-panel", Evaluator: r.Evaluator}]++
		case item == nil:
			aside[LeftOut{Code: "not-an-item", Item: r.Item}]++
		default:
			one := panel.Grade{Bib: r.Bib, Evaluator: r.Evaluator, Item: r.Item, Look: r.Look}
			if ok := item.read(r.Grade, &one); !ok { // the item has another kind since
				aside[LeftOut{Code: "not-an-item", Item: r.Item}]++
				continue
			}
			e.counted = append(e.counted, one)
		}
	}
	for l, n := range aside {
		l.Grades = n
		e.leftOut = append(e.leftOut, l)
	}
	slices.SortFunc(e.leftOut, func(x, y LeftOut) int {
		return cmpText(x.Code+" "+x.Bib+" "+x.Evaluator+" "+x.Item, y.Code+" "+y.Bib+" "+y.Evaluator+" "+y.Item)
	})
}

// options are what the engine is told beside the grades, with remarks on what
// had to give way. Items nobody graded have no weight there.
func (e *Event) options() (o panel.Options, notes []panel.Note) {
	graded, bibs := map[string]bool{}, map[string]bool{}
	for _, one := range e.counted {
		graded[one.Item], bibs[one.Bib] = true, true
	}
	o = panel.Options{Weights: e.Weights(), Best: e.Settings.Best, Barred: e.barred()}
	maps.DeleteFunc(o.Weights, func(item string, _ float64) bool { return !graded[item] })
	if len(bibs) > 0 && o.Best > len(bibs) {
		o.Best = len(bibs)
		notes = append(notes, panel.Note{Code: "few-players", Says: fmt.Sprintf("there are %d places and %d players with grades that count", e.Settings.Best, len(bibs))})
	}
	if !slices.ContainsFunc(slices.Collect(maps.Values(o.Weights)), func(w float64) bool { return w != 0 }) {
		o.Weights = nil
		notes = append(notes, panel.Note{Code: "no-weight", Says: "no item that counts was graded yet, so nobody stands anywhere"})
	}
	return o, notes
}

func (e *Event) barred() panel.Barred {
	return func(evaluator, bib string) bool { return e.recused[[2]string{evaluator, bib}] }
}

// notes tell what is not in the grades.
func (e *Event) notes() (notes []panel.Note) {
	for _, l := range e.leftOut {
		notes = append(notes, panel.Note{Code: l.Code, Says: l.Says() + ": kept, and left out"})
	}
	if e.Erased > 0 {
		notes = append(notes, panel.Note{Code: "erased", Says: fmt.Sprintf("%s erased with all their grades; the standing rests on the others", players(e.Erased))})
	}
	return notes
}

func players(n int) string {
	if n == 1 {
		return "one player was"
	}
	return fmt.Sprintf("%d players were", n)
}
