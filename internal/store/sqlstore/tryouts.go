package sqlstore

import (
	"context"

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

// PutGrades implements store.Tryouts.
func (t *tx) PutGrades(ctx context.Context, grades []store.Grade) ([]string, error) {
	states := make([]string, len(grades))
	for i, g := range grades {
		var err error
		if states[i], err = t.putGrade(ctx, g); err != nil {
			return nil, err
		}
	}
	return states, nil
}

func (t *tx) putGrade(ctx context.Context, g store.Grade) (string, error) {
	const same = "AND tryout_id = ? AND bib = ? AND evaluator = ? AND item = ? AND look = ?"
	t.date(&g.At)
	known, err := list[store.Grade](ctx, t, "grades", same, g.TryoutID, g.Bib, g.Evaluator, g.Item, g.Look)
	if err != nil {
		return "", err
	}
	if len(known) == 1 && known[0].Grade == g.Grade {
		return store.GradeSame, nil
	}
	const rest = "ON CONFLICT (club_id, tryout_id, bib, evaluator, item, look) DO UPDATE SET grade = excluded.grade, who = excluded.who, at = excluded.at"
	if err := insert(ctx, t, "grades", rest, g); err != nil {
		return "", err
	}
	if len(known) == 1 {
		return store.GradeCorrected, nil
	}
	return store.GradeStored, nil
}

// Grades implements store.Tryouts.
func (t *tx) Grades(ctx context.Context, tryoutID string) ([]store.Grade, error) {
	return list[store.Grade](ctx, t, "grades", "AND tryout_id = ? ORDER BY bib, evaluator, item, look", tryoutID)
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

// AddDecision implements store.Tryouts.
func (t *tx) AddDecision(ctx context.Context, d store.Decision) (store.Decision, error) {
	t.begin(&d.ID, &d.At)
	return d, insert(ctx, t, "decisions", "", d)
}

// Decisions implements store.Tryouts.
func (t *tx) Decisions(ctx context.Context, tryoutID string) ([]store.Decision, error) {
	return list[store.Decision](ctx, t, "decisions", "AND tryout_id = ? ORDER BY at, id", tryoutID)
}
