package sqlstore

import (
	"context"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"rootcue/internal/store"
)

// Save implements store.Observations: three inserts however many submissions.
func (t *tx) Save(ctx context.Context, subs []store.Submission) error {
	observations := make([]store.Observation, len(subs))
	assessments := make([]store.Assessment, len(subs))
	verdicts := make([][]verdict, 0, len(subs))
	for i := range subs {
		s := &subs[i]
		t.begin(&s.Observation.ID, &s.Observation.ReceivedAt)
		t.complete(&s.Assessment, s.Observation)
		observations[i], assessments[i] = s.Observation, s.Assessment
		if len(s.Verdicts) == 0 {
			continue
		}
		rows, err := verdictsOf(s.Assessment, s.Verdicts)
		if err != nil {
			return err
		}
		verdicts = append(verdicts, rows)
	}
	for _, o := range observations {
		if o.Supersedes != nil {
			if err := t.supersede(ctx, "observations", *o.Supersedes, o.ID); err != nil {
				return err
			}
			if err := t.retire(ctx, *o.Supersedes); err != nil {
				return err
			}
			if err := t.giveUpHash(ctx, o.InputHash); err != nil {
				return err
			}
		}
	}
	if err := insert(ctx, t, "observations", "", observations...); err != nil {
		return err
	}
	if err := insert(ctx, t, "assessments", "", assessments...); err != nil {
		return err
	}
	return t.keepVerdicts(ctx, verdicts...)
}

// giveUpHash frees a content for an observation that goes back to it: those
// replaced since that had it keep it with their id behind.
func (t *tx) giveUpHash(ctx context.Context, hash string) error {
	_, err := t.exec(ctx, "UPDATE observations SET input_hash = input_hash || '-' || id WHERE club_id = ? AND input_hash = ? AND superseded_by IS NOT NULL", t.club, hash)
	return err
}

// supersede notes in a row which one replaced it; a row can be replaced once.
func (t *tx) supersede(ctx context.Context, table, id, by string) error {
	n, err := t.exec(ctx, "UPDATE "+table+" SET superseded_by = ? WHERE club_id = ? AND id = ? AND superseded_by IS NULL", by, t.club, id)
	if err != nil || n > 0 {
		return err
	}
	n, err = t.exec(ctx, "UPDATE "+table+" SET superseded_by = superseded_by WHERE club_id = ? AND id = ?", t.club, id)
	if err == nil && n > 0 {
		return fmt.Errorf("%w: %s %s was corrected already", store.ErrConflict, table, id)
	}
	if err == nil {
		err = fmt.Errorf("%w in %s: %s", store.ErrNotFound, table, id)
	}
	return err
}

// Observation implements store.Observations.
func (t *tx) Observation(ctx context.Context, id string) (store.Observation, error) {
	return one[store.Observation](ctx, t, "observations", "AND id = ?", id)
}

// ObservationsByID implements store.Observations.
func (t *tx) ObservationsByID(ctx context.Context, ids []string) (map[string]store.Observation, error) {
	return byKey(ctx, t, "observations", "id", ids, func(o store.Observation) string { return o.ID })
}

// ObservationsByHash implements store.Observations.
func (t *tx) ObservationsByHash(ctx context.Context, hashes []string) (map[string]store.Observation, error) {
	return byKey(ctx, t, "observations", "input_hash", hashes, func(o store.Observation) string { return o.InputHash })
}

// ObservationsOn implements store.Observations.
func (t *tx) ObservationsOn(ctx context.Context, days []store.PlayerDay) (found []store.Observation, err error) {
	for chunk := range slices.Chunk(days, valuesPerInsert/2) {
		marks, args := strings.Repeat("(?, ?), ", len(chunk)-1)+"(?, ?)", make([]any, 0, 2*len(chunk))
		for _, d := range chunk {
			args = append(args, d.Player, d.On)
		}
		rest := "AND superseded_by IS NULL AND (player_ref, on_date) IN (VALUES " + marks + ") ORDER BY player_ref, on_date, id"
		rows, err := list[store.Observation](ctx, t, "observations", rest, args...)
		if err != nil {
			return nil, err
		}
		found = append(found, rows...)
	}
	return found, nil
}

// byKey reads the rows whose column is one of keys, a chunk at a time.
func byKey[T any](ctx context.Context, t *tx, table, column string, keys []string, key func(T) string) (map[string]T, error) {
	found := map[string]T{}
	for chunk := range slices.Chunk(keys, valuesPerInsert) {
		err := each(ctx, t, table, "AND "+column+" IN (?)", []any{chunk}, func(row T) error {
			found[key(row)] = row
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	return found, nil
}

// Observations implements store.Observations.
func (t *tx) Observations(ctx context.Context, f store.ObservationFilter, p store.Page) ([]store.Observation, error) {
	sql, args := observationQuery(t.club, f, p)
	return collect[store.Observation](ctx, t, sql, args)
}

func observationQuery(club string, f store.ObservationFilter, p store.Page) (string, []any) {
	w := where{args: []any{club}}
	w.text("player_ref = ?", f.Player)
	w.text("rubric = ?", f.Rubric)
	w.text("session = ?", f.Session)
	w.text("rater = ?", f.Rater)
	w.text("tryout_id = ?", f.TryoutID)
	w.dates("on_date", f.From, f.To, p.After)
	if !f.All {
		w.and("superseded_by IS NULL")
	}
	w.page("on_date", "id", p)
	columns := shapeOf(reflect.TypeFor[store.Observation]()).columns
	return "SELECT " + strings.Join(columns, ", ") + " FROM observations WHERE club_id = ? " + w.sql, w.args
}
