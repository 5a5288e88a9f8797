package sqlstore

import (
	"context"

	"rootcue/internal/store"
)

// AddThrows implements store.Ledger.
func (t *tx) AddThrows(ctx context.Context, throws []store.Throw) error {
	for i := range throws {
		t.begin(&throws[i].ID, &throws[i].At)
		if old := throws[i].Supersedes; old != nil {
			if err := t.supersede(ctx, "throws", *old, throws[i].ID); err != nil {
				return err
			}
		}
	}
	return insert(ctx, t, "throws", "", throws...)
}

// Throw implements store.Ledger.
func (t *tx) Throw(ctx context.Context, id string) (store.Throw, error) {
	return one[store.Throw](ctx, t, "throws", "AND id = ?", id)
}

// Throws implements store.Ledger.
func (t *tx) Throws(ctx context.Context, playerRef, from, to string, all bool) ([]store.Throw, error) {
	var w where
	w.and("player_ref = ?", playerRef)
	w.text("on_date >= ?", from)
	w.text("on_date <= ?", to)
	if !all {
		w.and("superseded_by IS NULL")
	}
	return list[store.Throw](ctx, t, "throws", w.sql+"ORDER BY on_date, id", w.args...)
}
