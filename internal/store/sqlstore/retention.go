package sqlstore

import "context"

// Sweep implements store.Retention.
func (t *tx) Sweep(ctx context.Context, before string) (map[string]int, error) {
	deleted := map[string]int{}
	for _, s := range []struct {
		deletion
		arg any
	}{
		{deletion{"sessions", "expires <= ?"}, t.now},
		{deletion{"answers", "expires <= ?"}, t.now},
		{deletion{"exports", "expires <= ?"}, t.now},
		{deletion{"deliveries", "done_at < ?"}, before},
		{deletion{"links", "expires < ?"}, before},
		{deletion{"links", "revoked_at < ?"}, before},
	} {
		if err := t.count(ctx, deleted, s.deletion, s.arg); err != nil {
			return nil, err
		}
	}
	t.erased = t.erased || deleted["exports"] > 0
	return deleted, nil
}

const free = " AND player_ref NOT IN (SELECT p.ref FROM players p WHERE p.club_id = @club AND p.legal_hold)"

// ForgetBefore implements store.Retention.
func (t *tx) ForgetBefore(ctx context.Context, before string, limit int) (map[string]int, error) {
	deleted := map[string]int{}
	ids, err := t.forgettable(ctx, before, bounded(limit))
	if err != nil {
		return nil, err
	}
	const ofThese = "assessment_id IN (SELECT a.id FROM assessments a WHERE a.club_id = @club AND a.observation_id IN (?))"
	if len(ids) > 0 {
		for _, d := range []deletion{
			{"verdicts", ofThese}, {"fresh_verdicts", ofThese}, {"reviews", ofThese}, {"links", ofThese}, {"cues", ofThese}, {"throws", ofThese},
			{"assessments", "observation_id IN (?)"}, {"observations", "id IN (?)"},
		} {
			if err := t.count(ctx, deleted, d, ids); err != nil {
				return nil, err
			}
		}
	}
	for _, d := range []deletion{{"throws", "on_date < ?" + free}, {"cues", "handed_on < ?" + free}} {
		if err := t.count(ctx, deleted, d, before); err != nil {
			return nil, err
		}
	}
	t.erased = t.erased || len(deleted) > 0
	return deleted, nil
}

// forgettable are the oldest observations dated before a date.
func (t *tx) forgettable(ctx context.Context, before string, limit int) ([]string, error) {
	return t.ids(ctx, "observations", "AND on_date < ?"+free+" ORDER BY on_date, id LIMIT ?", before, limit)
}
