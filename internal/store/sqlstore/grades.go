package sqlstore

import (
	"context"
	"slices"

	"rootcue/internal/store"
)

// A gradeKey names a grade.
type gradeKey struct {
	tryout, bib, evaluator, item string
	look                         int
}

func keyOf(g store.Grade) gradeKey {
	return gradeKey{g.TryoutID, g.Bib, g.Evaluator, g.Item, g.Look}
}

// PutGrades implements store.Tryouts.
func (t *tx) PutGrades(ctx context.Context, grades []store.Grade) ([]string, error) {
	known, err := t.knownGrades(ctx, grades)
	if err != nil {
		return nil, err
	}
	states := make([]string, len(grades))
	var fresh []store.Grade
	at := map[gradeKey]int{} // in fresh: a grade given twice is written once, as it came last
	for i, g := range grades {
		t.date(&g.At)
		was, there := known[keyOf(g)]
		switch {
		case there && was == g.Grade:
			states[i] = store.GradeSame
			continue
		case there:
			states[i] = store.GradeCorrected
		default:
			states[i] = store.GradeStored
		}
		known[keyOf(g)] = g.Grade
		if n, twice := at[keyOf(g)]; twice {
			fresh[n] = g
			continue
		}
		at[keyOf(g)] = len(fresh)
		fresh = append(fresh, g)
	}
	const rest = "ON CONFLICT (club_id, tryout_id, bib, evaluator, item, look) DO UPDATE SET grade = excluded.grade, who = excluded.who, at = excluded.at"
	return states, insert(ctx, t, "grades", rest, fresh...)
}

// knownGrades are the stored grades of the bibs that are graded.
func (t *tx) knownGrades(ctx context.Context, grades []store.Grade) (map[gradeKey]string, error) {
	known := map[gradeKey]string{}
	bibs := map[string][]string{} // by tryout
	for _, g := range grades {
		if !slices.Contains(bibs[g.TryoutID], g.Bib) {
			bibs[g.TryoutID] = append(bibs[g.TryoutID], g.Bib)
		}
	}
	for tryout, all := range bibs {
		for some := range slices.Chunk(all, valuesPerInsert) {
			err := each(ctx, t, "grades", "AND tryout_id = ? AND bib IN (?)", []any{tryout, some}, func(g store.Grade) error {
				known[keyOf(g)] = g.Grade
				return nil
			})
			if err != nil {
				return nil, err
			}
		}
	}
	return known, nil
}

// Grades implements store.Tryouts.
func (t *tx) Grades(ctx context.Context, tryoutID string) ([]store.Grade, error) {
	return list[store.Grade](ctx, t, "grades", "AND tryout_id = ? ORDER BY bib, evaluator, item, look", tryoutID)
}

// CountGrades implements store.Tryouts.
func (t *tx) CountGrades(ctx context.Context, tryoutID string) (n int, err error) {
	return n, t.value(ctx, "SELECT COUNT(*) FROM grades WHERE club_id = ? AND tryout_id = ?", []any{t.club, tryoutID}, &n)
}

// LastLooks implements store.Tryouts.
func (t *tx) LastLooks(ctx context.Context, tryoutID, evaluator string) (map[string]int, error) {
	looks := map[string]int{}
	rows, err := t.query(ctx, "SELECT bib, MAX(look) FROM grades WHERE club_id = ? AND tryout_id = ? AND evaluator = ? GROUP BY bib", t.club, tryoutID, evaluator)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var bib string
		var look int
		if err := rows.Scan(&bib, &look); err != nil {
			return nil, translate(ctx, err)
		}
		looks[bib] = look
	}
	return looks, translate(ctx, rows.Err())
}
