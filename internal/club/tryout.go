package club

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"rootcue/engine/panel"
	"rootcue/internal/store"
)

// A Tryout is one event at which a panel grades players by bib.
type Tryout struct {
	ID        string
	State     string // store.TryoutOpen or store.TryoutClosed
	CreatedAt store.Time
	tryoutDocument
}

// A tryoutDocument is what is kept of a tryout beside its rows.
type tryoutDocument struct {
	Settings TryoutSettings `json:"settings"`
	Items    []TryoutItem   `json:"items"`
	ClosedAt *store.Time    `json:"closed_at,omitempty"` // nil while open
	Moved    []BibChange    `json:"moved,omitempty"`     // bibs corrected so far
	Erased   int            `json:"erased,omitempty"`    // players erased with their grades
}

// mostTryouts bounds how many tryouts a club keeps: the list is one page.
const mostTryouts = 1000

// A Closed error: the tryout takes nothing more.
type Closed struct{ At store.Time }

// Error says since when.
func (c *Closed) Error() string { return "the tryout was closed at " + c.At.String() }

// AddTryout makes a tryout.
func (c *Clubs) AddTryout(ctx context.Context, a Actor, s TryoutSettings) (t Tryout, err error) {
	err = c.write(ctx, a, func(tx store.Tx) error {
		if err := tx.TakeTurn(ctx); err != nil {
			return err
		}
		there, err := tx.Tryouts(ctx)
		if err != nil {
			return err
		}
		if len(there) >= mostTryouts {
			return refuse("too-many", "", fmt.Sprintf("%d tryouts", len(there)), fmt.Sprintf("at most %d in a club", mostTryouts), "")
		}
		s.standard()
		t.Settings = s
		if t.Items, err = c.items(ctx, tx, &s); err != nil {
			return err
		}
		row, err := tx.AddTryout(ctx, t.row())
		if err != nil {
			return err
		}
		t.ID, t.State, t.CreatedAt = row.ID, row.State, row.CreatedAt
		return t.logged(ctx, tx, a, "tryout.made", struct{}{})
	})
	return t, err
}

// Tryouts lists a club's tryouts, newest first.
func (c *Clubs) Tryouts(ctx context.Context, a Actor) (list []Tryout, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		rows, err := tx.Tryouts(ctx)
		if err != nil {
			return err
		}
		for _, row := range rows {
			t, err := tryoutOf(row)
			if err != nil {
				return err
			}
			list = append(list, t)
		}
		return nil
	})
	return list, err
}

// Tryout gives one tryout.
func (c *Clubs) Tryout(ctx context.Context, a Actor, id string) (t Tryout, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		t, err = tryout(ctx, tx, id)
		return err
	})
	return t, err
}

// PutTryout replaces the settings of an open tryout; its items are settled
// anew. base tells whether the caller built on what stands now; if not, the
// answer is ErrChanged. Grades of who or what is no longer of the tryout are
// kept and left out of the standing.
func (c *Clubs) PutTryout(ctx context.Context, a Actor, id string, s TryoutSettings, base func(Tryout) bool) (Tryout, error) {
	return c.changeTryout(ctx, a, id, func(tx store.Tx, t *Tryout) error {
		if !base(*t) {
			return ErrChanged
		}
		s.standard()
		items, err := c.items(ctx, tx, &s)
		if err != nil {
			return err
		}
		t.Settings, t.Items = s, items
		return t.logged(ctx, tx, a, "tryout.changed", struct{}{})
	})
}

// CloseTryout freezes a tryout: nothing that the standing rests on changes any
// more, but for an erasure. To close it again is ErrClosed's kind: *Closed.
func (c *Clubs) CloseTryout(ctx context.Context, a Actor, id string) (Tryout, error) {
	return c.changeTryout(ctx, a, id, func(tx store.Tx, t *Tryout) error {
		t.State, t.ClosedAt = store.TryoutClosed, tx.Now().Ptr()
		return t.logged(ctx, tx, a, "tryout.closed", struct{}{})
	})
}

// ErrOpen: the tryout is open already.
var ErrOpen = errors.New("the tryout is open")

// ReopenTryout takes a closed tryout up again; the reason goes into the log. It
// fails with ErrOpen.
func (c *Clubs) ReopenTryout(ctx context.Context, a Actor, id, reason string) (t Tryout, err error) {
	err = c.write(ctx, a, func(tx store.Tx) error {
		if err := tx.TakeTurn(ctx); err != nil {
			return err
		}
		if t, err = tryout(ctx, tx, id); err != nil {
			return err
		}
		if t.State != store.TryoutClosed {
			return ErrOpen
		}
		t.State, t.ClosedAt = store.TryoutOpen, nil
		if err := tx.PutTryout(ctx, t.row()); err != nil {
			return err
		}
		return t.logged(ctx, tx, a, "tryout.reopened", map[string]string{"reason": reason})
	})
	return t, err
}

// changeTryout runs a change of an open tryout in a transaction of its own and
// keeps the document. The change logs itself, last.
func (c *Clubs) changeTryout(ctx context.Context, a Actor, id string, change func(store.Tx, *Tryout) error) (t Tryout, err error) {
	err = c.write(ctx, a, func(tx store.Tx) error {
		if err := tx.TakeTurn(ctx); err != nil {
			return err
		}
		if t, err = openTryout(ctx, tx, id); err != nil {
			return err
		}
		if err := change(tx, &t); err != nil {
			return err
		}
		return tx.PutTryout(ctx, t.row())
	})
	return t, err
}

// openTryout reads a tryout that must be open, else *Closed.
func openTryout(ctx context.Context, tx store.Tx, id string) (Tryout, error) {
	t, err := tryout(ctx, tx, id)
	if err == nil && t.ClosedAt != nil {
		return t, &Closed{*t.ClosedAt}
	}
	return t, err
}

// tryout reads a tryout, else store.ErrNotFound.
func tryout(ctx context.Context, tx store.Tx, id string) (Tryout, error) {
	row, err := tx.Tryout(ctx, id)
	if err != nil {
		return Tryout{}, err
	}
	return tryoutOf(row)
}

func tryoutOf(row store.Tryout) (Tryout, error) {
	t := Tryout{ID: row.ID, State: row.State, CreatedAt: row.CreatedAt}
	d := json.NewDecoder(bytes.NewReader(row.Settings))
	d.DisallowUnknownFields()
	if err := d.Decode(&t.tryoutDocument); err != nil {
		return t, fmt.Errorf("tryout %s: %w", row.ID, err)
	}
	return t, nil
}

func (t *Tryout) row() store.Tryout {
	b, err := json.Marshal(t.tryoutDocument)
	if err != nil {
		panic("club: " + err.Error()) // plain values, all finite: they were checked
	}
	return store.Tryout{ID: t.ID, Name: t.Settings.Name, Settings: b, State: t.State, CreatedAt: t.CreatedAt}
}

// logged logs something about the tryout.
func (t *Tryout) logged(ctx context.Context, tx store.Tx, a Actor, what string, detail any) error {
	return logged(ctx, tx, a.KeyID, what, "tryout/"+t.ID, detail)
}

// item finds an item of the tryout, nil without one of that name.
func (t *Tryout) item(name string) *TryoutItem {
	i := slices.IndexFunc(t.Items, func(i TryoutItem) bool { return i.Item == name })
	if i < 0 {
		return nil
	}
	return &t.Items[i]
}

// onPanel reports whether an evaluator is on the panel.
func (t *Tryout) onPanel(evaluator string) bool { return slices.Contains(t.Settings.Panel, evaluator) }

// Weights is what each item counts, by its name.
func (t *Tryout) Weights() map[string]float64 {
	w := map[string]float64{}
	for _, i := range t.Items {
		w[i.Item] = i.Weight
	}
	return w
}

// mostPlayers bounds a roster: what the panel can be judged on at once.
const mostPlayers = panel.MostPlayers
