package sqlstore

import (
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"

	"rootcue/internal/store"
)

// A verdict is one row by which an assessment is found. The rows of one
// assessment lie all over their table, so that writing them for each as it
// comes costs more than all else: they wait as fresh until there are many.
type verdict struct {
	Fault        string `db:"fault"`
	Verdict      string `db:"verdict"`
	On           string `db:"on_date"`
	AssessmentID string `db:"assessment_id"`
}

// A freshRow holds the verdicts of one assessment that wait.
type freshRow struct {
	AssessmentID string     `db:"assessment_id"`
	On           string     `db:"on_date"`
	Verdicts     store.JSON `db:"verdicts"` // by fault
}

const (
	mostFresh  = 256 // of a club, or a few more; a list by verdict reads them all
	manyFresh  = 64  // so many at once need not wait
	freshAsked = 16  // how many wait is asked about once in so many rows
)

// verdictsOf are the rows of one assessment; a fault has one verdict.
func verdictsOf(a store.Assessment, verdicts []store.Verdict) ([]verdict, error) {
	rows := make([]verdict, len(verdicts))
	for i, v := range verdicts {
		if slices.ContainsFunc(verdicts[:i], func(before store.Verdict) bool { return before.Fault == v.Fault }) {
			return nil, fmt.Errorf("%w: two verdicts on %s", store.ErrConflict, v.Fault)
		}
		rows[i] = verdict{v.Fault, v.Verdict, a.On, a.ID}
	}
	return rows, nil
}

// fresh packs the verdicts of one assessment.
func fresh(verdicts []verdict) (freshRow, error) {
	by := make(map[string]string, len(verdicts))
	for _, v := range verdicts {
		by[v.Fault] = v.Verdict
	}
	text, err := json.Marshal(by)
	return freshRow{verdicts[0].AssessmentID, verdicts[0].On, text}, err
}

// keepVerdicts lets the verdicts of assessments wait, or puts those of many at
// once where they are looked up. None of the lists is empty.
func (t *tx) keepVerdicts(ctx context.Context, of ...[]verdict) (err error) {
	if len(of) >= manyFresh {
		return insert(ctx, t, "verdicts", "", slices.Concat(of...)...)
	}
	rows := make([]freshRow, len(of))
	for i := range of {
		if rows[i], err = fresh(of[i]); err != nil {
			return err
		}
	}
	if err := insert(ctx, t, "fresh_verdicts", "", rows...); err != nil || rand.IntN(freshAsked) >= len(rows) {
		return err
	}
	var waiting int
	if err := t.value(ctx, "SELECT count(*) FROM fresh_verdicts WHERE club_id = ?", []any{t.club}, &waiting); err != nil || waiting < mostFresh {
		return err
	}
	// Locked, so that two who move them at once do not both.
	all, err := list[freshRow](ctx, t, "fresh_verdicts", t.db.dialect.forDelete())
	if err != nil {
		return err
	}
	ids := make([]string, len(all))
	for i := range all {
		ids[i] = all[i].AssessmentID
	}
	if _, err := t.remove(ctx, "fresh_verdicts", "assessment_id IN (?)", ids); err != nil {
		return err
	}
	return t.unpackVerdicts(ctx, all)
}

func (t *tx) unpackVerdicts(ctx context.Context, rows []freshRow) error {
	var verdicts []verdict
	for _, r := range rows {
		var by map[string]string
		if err := json.Unmarshal(r.Verdicts, &by); err != nil {
			return fmt.Errorf("%w: stored verdicts: %w", store.ErrDamaged, err)
		}
		for fault, is := range by {
			verdicts = append(verdicts, verdict{fault, is, r.On, r.AssessmentID})
		}
	}
	return insert(ctx, t, "verdicts", "", verdicts...)
}

const ofCurrent = "assessment_id IN (SELECT a.id FROM assessments a WHERE a.club_id = @club AND a.observation_id = ? AND a.status = 'current')"

// dropVerdicts deletes the verdicts of an observation's current assessment.
func (t *tx) dropVerdicts(ctx context.Context, observation string) error {
	for _, table := range []string{"verdicts", "fresh_verdicts"} {
		_, err := t.remove(ctx, table, ofCurrent, observation)
		if err != nil {
			return err
		}
	}
	return nil
}
