package club

import (
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strconv"

	"rootcue/engine/panel"
	"rootcue/engine/place"
	"rootcue/internal/store"
)

// A GradeLine is the answer to one line of grades.
type GradeLine struct {
	Line   int
	Status string          // Stored, Same, Corrected or Refused
	Slips  []place.Problem // why it was refused
}

// SubmitGrades keeps grades, in whatever order and however late they come, and
// answers each line. Good lines are kept beside bad ones. A grade known already
// is the same; another grade of the same look corrects it. Nothing is kept of a
// tryout that was closed. An empty grade was not seen: it changes nothing.
func (c *Clubs) SubmitGrades(ctx context.Context, a Actor, id string, body []byte, form Form) (lines []GradeLine, err error) {
	rows, err := readGrades(body, form)
	if err != nil {
		return nil, err
	}
	err = c.write(ctx, a, func(tx store.Tx) error {
		if err := tx.TakeTurn(ctx); err != nil {
			return err
		}
		d, err := newDesk(ctx, tx, a, id)
		if err != nil {
			return err
		}
		lines = make([]GradeLine, len(rows))
		var grades []store.Grade
		var at []int // the line of each
		for i := range rows {
			g, slips := d.take(&rows[i])
			lines[i] = GradeLine{rows[i].line, Same, slips}
			switch {
			case len(slips) > 0:
				lines[i].Status = Refused
			case g.Grade != "":
				grades, at = append(grades, g), append(at, i)
			}
		}
		states, err := tx.PutGrades(ctx, grades)
		if err != nil {
			return err
		}
		for i, s := range states {
			lines[at[i]].Status = s // the store's words are ours
		}
		return d.log(ctx, tx, a, lines)
	})
	return lines, err
}

// A desk takes grades of one tryout.
type desk struct {
	Tryout
	roster  map[string]store.RosterEntry // by bib
	recused map[[2]string]bool           // by evaluator and bib
	items   map[string]TryoutItem
	names   []string // of items
	panel   map[string]bool
	who     string
	at      store.Time
	room    int // grades that may still come
}

func newDesk(ctx context.Context, tx store.Tx, a Actor, id string) (*desk, error) {
	t, err := tryout(ctx, tx, id)
	if err != nil {
		return nil, err
	}
	d := &desk{Tryout: t, roster: map[string]store.RosterEntry{}, items: map[string]TryoutItem{}, names: itemNames(t.Items), panel: map[string]bool{}, who: a.KeyID, at: tx.Now()}
	entries, err := tx.Roster(ctx, id)
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		d.roster[e.Bib] = e
	}
	for _, i := range t.Items {
		d.items[i.Item] = i
	}
	for _, e := range t.Settings.Panel {
		d.panel[e] = true
	}
	there, err := tx.CountGrades(ctx, id)
	if err != nil {
		return nil, err
	}
	d.room = panel.MostGrades - there
	d.recused, err = recused(ctx, tx, id)
	return d, err
}

func recused(ctx context.Context, tx store.Tx, id string) (map[[2]string]bool, error) {
	list, err := tx.Recusals(ctx, id)
	return byBoth(list), err
}

func byBoth(recusals []store.Recusal) map[[2]string]bool {
	by := map[[2]string]bool{}
	for _, r := range recusals {
		by[[2]string{r.Evaluator, r.Bib}] = true
	}
	return by
}

// take turns a row into a grade to keep, or tells every slip in it.
func (d *desk) take(r *gradeRow) (g store.Grade, slips []place.Problem) {
	if len(r.slips) > 0 {
		return g, r.slips
	}
	refuse := func(key, code, found, wanted, hint string) {
		slips = append(slips, r.locate(key, place.Problem{Code: code, Found: found, Wanted: wanted, Hint: hint}))
	}
	if d.ClosedAt != nil {
		refuse("", "closed", "a grade that came when the tryout was closed, on "+d.ClosedAt.String(), "a tryout that is open", "it was not kept; an instructor or admin can reopen the tryout, then send it again")
		return g, slips
	}
	entry, there := d.roster[r.bib]
	switch {
	case !there:
		refuse("bib", "unknown-bib", found(r.bib, "bib"), "a bib of the roster", d.movedTo(r.bib))
	case entry.WithdrawnAt != nil:
		refuse("bib", "withdrawn", "bib "+r.bib+", withdrawn on "+entry.WithdrawnAt.String(), "a player who takes part", "if the player is back, an instructor puts it on the roster")
	}
	switch {
	case !d.panel[r.evaluator]:
		refuse("evaluator", "unknown-evaluator", found(r.evaluator, "evaluator"), "one of the panel: "+place.List(d.Settings.Panel), didYouMean(r.evaluator, d.Settings.Panel))
	case d.recused[[2]string{r.evaluator, r.bib}]:
		refuse("evaluator", "recused", r.evaluator+", who is recused from bib "+r.bib, "an evaluator who is not recused from the player", "")
	}
	if r.look < 1 || r.look > mostLook {
		refuse("look", "bad-look", strconv.Itoa(r.look), "a whole number from 1", "")
	}
	item, known := d.items[r.item]
	if !known {
		refuse("item", "unknown-item", found(r.item, "item"), oneOf(d.names), didYouMean(r.item, d.names))
	}
	g = store.Grade{TryoutID: d.ID, Bib: r.bib, Evaluator: r.evaluator, Item: r.item, Look: r.look, Who: d.who, At: d.at}
	if known && r.grade != "" {
		var slip *place.Problem
		if g.Grade, slip = item.settle(r.grade); slip != nil {
			slips = append(slips, r.locate("grade", *slip))
		}
	}
	if len(slips) == 0 {
		if d.room--; d.room < 0 {
			refuse("", "too-many", "one grade more", fmt.Sprintf("at most %d of a tryout", panel.MostGrades), "split the tryout, by age group for instance")
		}
	}
	return g, slips
}

// movedTo tells a late sender where a corrected bib went.
func (d *desk) movedTo(bib string) string {
	for _, m := range slices.Backward(d.Moved) {
		if m.From == bib {
			return fmt.Sprintf("bib %s was corrected to %s", bib, m.To)
		}
	}
	return ""
}

// log says how many grades were kept; which ones stands with the grades.
func (d *desk) log(ctx context.Context, tx store.Tx, a Actor, lines []GradeLine) error {
	var done Done
	for _, l := range lines {
		done.Count(l.Status)
	}
	if done.Stored+done.Corrected == 0 {
		return nil
	}
	return d.logged(ctx, tx, a, "tryout.graded", done)
}

// Grades lists the grades of a tryout as they are kept, by bib, evaluator, item
// and look.
func (c *Clubs) Grades(ctx context.Context, a Actor, id string) (list []store.Grade, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		if _, err := tx.Tryout(ctx, id); err != nil {
			return err
		}
		list, err = tx.Grades(ctx, id)
		return err
	})
	return list, err
}

// WriteGrades writes grades as a table that SubmitGrades and the command for
// files read.
func WriteGrades(out io.Writer, grades []store.Grade) error {
	t := csv.NewWriter(out)
	_ = t.Write([]string{"bib", "evaluator", "item", "grade", "look"}) // a failure stays with t
	for _, g := range grades {
		_ = t.Write([]string{Plain(g.Bib), Plain(g.Evaluator), g.Item, g.Grade, strconv.Itoa(g.Look)})
	}
	t.Flush()
	return t.Error()
}
