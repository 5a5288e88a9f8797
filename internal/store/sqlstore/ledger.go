package sqlstore

import (
	"context"
	"slices"

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

// ThrowsOf implements store.Ledger.
func (t *tx) ThrowsOf(ctx context.Context, playerRefs []string) (map[string][]store.Throw, error) {
	found := map[string][]store.Throw{}
	for chunk := range slices.Chunk(playerRefs, valuesPerInsert) {
		const rest = "AND player_ref IN (?) AND superseded_by IS NULL ORDER BY player_ref, on_date, id"
		err := each(ctx, t, "throws", rest, []any{chunk}, func(row store.Throw) error {
			found[row.PlayerRef] = append(found[row.PlayerRef], row)
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	return found, nil
}
