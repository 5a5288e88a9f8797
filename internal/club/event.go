package club

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"slices"

	"rootcue/engine/panel"
	"rootcue/internal/store"
)

// An Event is a tryout at one moment: all that was recorded of it by then, read
// once for everything that is made of it.
type Event struct {
	Tryout
	Roster   []store.RosterEntry // by bib, withdrawn players too
	Grades   []store.Grade
	Recusals []store.Recusal

	row       store.Tryout
	decisions []store.Decision
	playing   []store.RosterEntry // the roster without the withdrawn
	recused   map[[2]string]bool  // by evaluator and bib
	counted   []panel.Grade       // the grades that count
	leftOut   []LeftOut
}

// Event reads a tryout, else store.ErrNotFound.
func (c *Clubs) Event(ctx context.Context, a Actor, id string) (*Event, error) {
	e := &Event{}
	if err := c.view(ctx, a, func(tx store.Tx) error { return e.read(ctx, tx, id) }); err != nil {
		return nil, err
	}
	slices.SortFunc(e.Roster, func(x, y store.RosterEntry) int { return byBib(x.Bib, y.Bib) })
	withdrawn := map[string]bool{}
	for _, p := range e.Roster {
		if withdrawn[p.Bib] = p.WithdrawnAt != nil; !withdrawn[p.Bib] {
			e.playing = append(e.playing, p)
		}
	}
	e.recused = byBoth(e.Recusals)
	e.sift(e.Grades, withdrawn)
	return e, nil
}

func (e *Event) read(ctx context.Context, tx store.Tx, id string) (err error) {
	if e.row, err = tx.Tryout(ctx, id); err != nil {
		return err
	}
	if e.Tryout, err = tryoutOf(e.row); err != nil {
		return err
	}
	if e.Roster, err = tx.Roster(ctx, id); err != nil {
		return err
	}
	if e.Recusals, err = tx.Recusals(ctx, id); err != nil {
		return err
	}
	if e.decisions, err = tx.Decisions(ctx, id); err != nil {
		return err
	}
	e.Grades, err = tx.Grades(ctx, id)
	return err
}

// Mark differs whenever anything of the tryout does: its settings, roster,
// grades, recusals, decisions.
func (e *Event) Mark() string {
	sum := sha256.New()
	if err := json.NewEncoder(sum).Encode([]any{e.row, e.Roster, e.Grades, e.Recusals, e.decisions}); err != nil {
		panic("club: " + err.Error()) // plain values
	}
	return base64.RawURLEncoding.EncodeToString(sum.Sum(nil)[:12])
}
