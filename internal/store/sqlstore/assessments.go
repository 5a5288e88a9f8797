package sqlstore

import (
	"cmp"
	"context"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"rootcue/internal/store"
)

// complete fills in what an assessment takes from its observation.
func (t *tx) complete(a *store.Assessment, o store.Observation) {
	t.begin(&a.ID, &a.CreatedAt)
	a.ObservationID, a.PlayerRef, a.Session, a.On, a.Rubric = o.ID, o.PlayerRef, o.Session, o.On, o.Rubric
	a.Status = store.Current
}

// Reassess implements store.Assessments.
func (t *tx) Reassess(ctx context.Context, a store.Assessment, verdicts []store.Verdict) (store.Assessment, error) {
	// Locked, so that no correction comes in between.
	found, err := list[store.Observation](ctx, t, "observations", "AND id = ?"+t.db.dialect.forUpdate(), a.ObservationID)
	if err != nil {
		return a, err
	}
	if len(found) == 0 {
		return a, fmt.Errorf("%w in observations: %s", store.ErrNotFound, a.ObservationID)
	}
	o := found[0]
	if o.SupersededBy != nil {
		return a, fmt.Errorf("%w: observation %s was corrected by %s", store.ErrConflict, o.ID, *o.SupersededBy)
	}
	if err := t.retire(ctx, o.ID); err != nil {
		return a, err
	}
	t.complete(&a, o)
	if err := insert(ctx, t, "assessments", "", a); err != nil {
		return a, err
	}
	rows, err := verdictsOf(a, verdicts)
	if err != nil || len(rows) == 0 {
		return a, err
	}
	return a, t.keepVerdicts(ctx, rows)
}

// retire makes an observation's current assessment an old one.
func (t *tx) retire(ctx context.Context, observation string) error {
	if err := t.dropVerdicts(ctx, observation); err != nil {
		return err
	}
	_, err := t.exec(ctx, "UPDATE assessments SET status = 'old' WHERE club_id = ? AND observation_id = ? AND status = 'current'", t.club, observation)
	return err
}

// Assessment implements store.Assessments.
func (t *tx) Assessment(ctx context.Context, id string) (store.Assessment, error) {
	return one[store.Assessment](ctx, t, "assessments", "AND id = ?", id)
}

// Assessments implements store.Assessments.
func (t *tx) Assessments(ctx context.Context, f store.AssessmentFilter, p store.Page) ([]store.Assessment, error) {
	sql, args := assessmentQuery(t.club, f, p)
	found, err := collect[store.Assessment](ctx, t, sql, args)
	if err != nil || f.Fault == "" {
		return found, err
	}
	sql, args = t.freshQuery(f, p)
	fresh, err := collect[store.Assessment](ctx, t, sql, args)
	if err != nil || len(fresh) == 0 {
		return found, err
	}
	found = append(found, fresh...)
	slices.SortFunc(found, func(a, b store.Assessment) int {
		return cmp.Or(strings.Compare(b.On, a.On), strings.Compare(b.ID, a.ID))
	})
	return found[:min(len(found), bounded(p.Limit))], nil
}

func assessmentQuery(club string, f store.AssessmentFilter, p store.Page) (string, []any) {
	w := where{args: []any{club}}
	if f.Fault == "" {
		return w.assessments("assessments a", "a.on_date", "a.id", f, p)
	}
	w.and("v.fault = ?", f.Fault)
	w.and("v.verdict = ?", f.Verdict)
	return w.assessments(foundIn("verdicts"), "v.on_date", "v.assessment_id", f, p)
}

// freshQuery looks through the verdicts that wait.
func (t *tx) freshQuery(f store.AssessmentFilter, p store.Page) (string, []any) {
	w := where{args: []any{t.club}}
	w.and(t.db.dialect.member("v.verdicts")+" = ?", f.Fault, f.Verdict)
	return w.assessments(foundIn("fresh_verdicts"), "v.on_date", "v.assessment_id", f, p)
}

// foundIn walks a table of verdicts in the order of the list and takes the
// assessment of each.
func foundIn(table string) string {
	return table + " v JOIN assessments a ON a.club_id = v.club_id AND a.id = v.assessment_id"
}

func (w *where) assessments(from, on, id string, f store.AssessmentFilter, p store.Page) (string, []any) {
	w.text("a.player_ref = ?", f.Player)
	w.text("a.session = ?", f.Session)
	if f.Session != "" {
		w.and("a.session <> ''") // lets SQLite see that the index without empty ones will do
	}
	w.text("a.rubric = ?", f.Rubric)
	w.text("a.observation_id = ?", f.ObservationID)
	if f.Version != 0 {
		w.and("a.rubric_version = ?", f.Version)
	}
	if !f.Old {
		w.and("a.status = 'current'")
	}
	w.dates(on, f.From, f.To, p.After)
	w.page(on, id, p)
	columns := shapeOf(reflect.TypeFor[store.Assessment]()).columns
	club := strings.TrimSuffix(on, "on_date") + "club_id"
	return "SELECT a." + strings.Join(columns, ", a.") + " FROM " + from + " WHERE " + club + " = ? " + w.sql, w.args
}
