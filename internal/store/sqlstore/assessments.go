package sqlstore

import (
	"context"
	"fmt"
	"reflect"
	"strings"

	"rootcue/internal/store"
)

type verdict struct {
	Fault        string `db:"fault"`
	Verdict      string `db:"verdict"`
	On           string `db:"on_date"`
	AssessmentID string `db:"assessment_id"`
}

func verdictsOf(a store.Assessment, verdicts []store.Verdict) []verdict {
	rows := make([]verdict, len(verdicts))
	for i, v := range verdicts {
		rows[i] = verdict{v.Fault, v.Verdict, a.On, a.ID}
	}
	return rows
}

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
	return a, insert(ctx, t, "verdicts", "", verdictsOf(a, verdicts)...)
}

// retire makes an observation's current assessment an old one.
func (t *tx) retire(ctx context.Context, observation string) error {
	_, err := t.remove(ctx, "verdicts", `assessment_id IN (SELECT a.id FROM assessments a
		WHERE a.club_id = verdicts.club_id AND a.observation_id = ? AND a.status = 'current')`, observation)
	if err != nil {
		return err
	}
	_, err = t.exec(ctx, "UPDATE assessments SET status = 'old' WHERE club_id = ? AND observation_id = ? AND status = 'current'", t.club, observation)
	return err
}

// Assessment implements store.Assessments.
func (t *tx) Assessment(ctx context.Context, id string) (store.Assessment, error) {
	return one[store.Assessment](ctx, t, "assessments", "AND id = ?", id)
}

// Assessments implements store.Assessments.
func (t *tx) Assessments(ctx context.Context, f store.AssessmentFilter, p store.Page) ([]store.Assessment, error) {
	sql, args := assessmentQuery(t.club, f, p)
	return collect[store.Assessment](ctx, t, sql, args)
}

func assessmentQuery(club string, f store.AssessmentFilter, p store.Page) (string, []any) {
	var w where
	on, id := "a.on_date", "a.id"
	from := " FROM assessments a WHERE a.club_id = ? "
	w.args = []any{club}
	if f.Fault != "" { // walks the verdicts in the order of the list and takes the assessment of each
		on, id = "v.on_date", "v.assessment_id"
		from = " FROM verdicts v JOIN assessments a ON a.club_id = v.club_id AND a.id = v.assessment_id WHERE v.club_id = ? "
		w.and("v.fault = ?", f.Fault)
		w.and("v.verdict = ?", f.Verdict)
	}
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
	return "SELECT a." + strings.Join(columns, ", a.") + from + w.sql, w.args
}
