package sqlstore

import (
	"context"
	"fmt"

	"rootcue/internal/store"
)

// AddTryout implements store.Tryouts.
func (t *tx) AddTryout(ctx context.Context, o store.Tryout) (store.Tryout, error) {
	t.begin(&o.ID, &o.CreatedAt)
	if o.State == "" {
		o.State = store.TryoutOpen
	}
	return o, insert(ctx, t, "tryouts", "", o)
}

// Tryout implements store.Tryouts.
func (t *tx) Tryout(ctx context.Context, id string) (store.Tryout, error) {
	return one[store.Tryout](ctx, t, "tryouts", "AND id = ?", id)
}

// Tryouts implements store.Tryouts.
func (t *tx) Tryouts(ctx context.Context) ([]store.Tryout, error) {
	return list[store.Tryout](ctx, t, "tryouts", "ORDER BY created_at DESC, id DESC")
}

// PutTryout implements store.Tryouts.
func (t *tx) PutTryout(ctx context.Context, o store.Tryout) error {
	return t.update(ctx, "tryouts", "name = ?, settings = ?, state = ?", "id = ?", o.Name, o.Settings, o.State, o.ID)
}

// PutRoster implements store.Tryouts.
func (t *tx) PutRoster(ctx context.Context, entries []store.RosterEntry) error {
	const rest = "ON CONFLICT (club_id, tryout_id, bib) DO UPDATE SET player_ref = excluded.player_ref, withdrawn_at = excluded.withdrawn_at"
	for _, e := range entries { // one by one: a bib named twice takes its last entry
		t.date(&e.At)
		if err := insert(ctx, t, "roster", rest, e); err != nil {
			return err
		}
	}
	return nil
}

// Roster implements store.Tryouts.
func (t *tx) Roster(ctx context.Context, tryoutID string) ([]store.RosterEntry, error) {
	return list[store.RosterEntry](ctx, t, "roster", "AND tryout_id = ? ORDER BY bib", tryoutID)
}

// RosterOf implements store.Tryouts.
func (t *tx) RosterOf(ctx context.Context, ref string) ([]store.RosterEntry, error) {
	return list[store.RosterEntry](ctx, t, "roster", "AND player_ref = ? ORDER BY at, tryout_id", ref)
}

// PutRecusal implements store.Tryouts.
func (t *tx) PutRecusal(ctx context.Context, r store.Recusal) error {
	t.date(&r.At)
	return insert(ctx, t, "recusals", "ON CONFLICT (club_id, tryout_id, bib, evaluator) DO UPDATE SET why = excluded.why", r)
}

// Recusals implements store.Tryouts.
func (t *tx) Recusals(ctx context.Context, tryoutID string) ([]store.Recusal, error) {
	return list[store.Recusal](ctx, t, "recusals", "AND tryout_id = ? ORDER BY bib, evaluator", tryoutID)
}

// DropRecusal implements store.Tryouts.
func (t *tx) DropRecusal(ctx context.Context, tryoutID, evaluator, bib string) error {
	n, err := t.remove(ctx, "recusals", "tryout_id = ? AND evaluator = ? AND bib = ?", tryoutID, evaluator, bib)
	if err == nil && n == 0 {
		err = fmt.Errorf("%w in recusals: %s of %s", store.ErrNotFound, evaluator, bib)
	}
	return err
}

// AddDecision implements store.Tryouts.
func (t *tx) AddDecision(ctx context.Context, d store.Decision) (store.Decision, error) {
	t.begin(&d.ID, &d.At)
	return d, insert(ctx, t, "decisions", "", d)
}

// Decisions implements store.Tryouts.
func (t *tx) Decisions(ctx context.Context, tryoutID string) ([]store.Decision, error) {
	return list[store.Decision](ctx, t, "decisions", "AND tryout_id = ? ORDER BY at, id", tryoutID)
}
