package sqlstore

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"rootcue/internal/store"
)

// MoveBibs implements store.Tryouts. Rows that name a bib are taken out and put
// back under the new one, since they may refer to no bib but one on the roster
// and a player has one bib at a time.
func (t *tx) MoveBibs(ctx context.Context, tryoutID string, to map[string]string) error {
	from := slices.Sorted(maps.Keys(to))
	if len(from) == 0 {
		return nil
	}
	grades, err := takeOut(ctx, t, "grades", tryoutID, from, func(g *store.Grade) { g.Bib = to[g.Bib] })
	if err != nil {
		return err
	}
	recusals, err := takeOut(ctx, t, "recusals", tryoutID, from, func(r *store.Recusal) { r.Bib = to[r.Bib] })
	if err != nil {
		return err
	}
	decisions, err := takeOut(ctx, t, "decisions", tryoutID, from, func(d *store.Decision) { d.Bib = to[d.Bib] })
	if err != nil {
		return err
	}
	entries, err := takeOut(ctx, t, "roster", tryoutID, from, func(e *store.RosterEntry) { e.Bib = to[e.Bib] })
	if err != nil {
		return err
	}
	if len(entries) != len(from) {
		return fmt.Errorf("%w in roster: one of %v", store.ErrNotFound, from)
	}
	if err := insert(ctx, t, "roster", "", entries...); err != nil {
		return err
	}
	if err := insert(ctx, t, "grades", "", grades...); err != nil {
		return err
	}
	if err := insert(ctx, t, "recusals", "", recusals...); err != nil {
		return err
	}
	return insert(ctx, t, "decisions", "", decisions...)
}

// takeOut deletes the rows of some bibs and gives them, changed.
func takeOut[T any](ctx context.Context, t *tx, table, tryoutID string, bibs []string, change func(*T)) ([]T, error) {
	rows, err := list[T](ctx, t, table, "AND tryout_id = ? AND bib IN (?) ORDER BY bib", tryoutID, bibs)
	if err != nil {
		return nil, err
	}
	for i := range rows {
		change(&rows[i])
	}
	_, err = t.remove(ctx, table, "tryout_id = ? AND bib IN (?)", tryoutID, bibs)
	return rows, err
}
