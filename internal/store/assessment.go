package store

import "context"

// The states of an assessment.
const (
	Current = "current" // what counts now; at most one an observation
	Old     = "old"     // replaced by a later one, or its observation was corrected
)

// An Assessment is what the engine answered to one observation under one
// version of a rubric.
type Assessment struct {
	ID            string   `db:"id" json:"id"`
	ObservationID string   `db:"observation_id" json:"observation"`
	PlayerRef     string   `db:"player_ref" json:"player"`
	Session       string   `db:"session" json:"session"`
	On            string   `db:"on_date" json:"on"`
	Rubric        string   `db:"rubric" json:"rubric"`
	RubricVersion int      `db:"rubric_version" json:"rubric_version"`
	Status        string   `db:"status" json:"status"` // Current or Old
	Measures      Measures `db:"measures" json:"measures"`
	Body          Body     `db:"body" json:"body"` // the assessment document, to the byte
	CreatedAt     Time     `db:"created_at" json:"created_at"`
}

// A Verdict is one finding worth looking an assessment up by. Verdicts are kept
// for current assessments only.
type Verdict struct {
	Fault   string `json:"fault"`
	Verdict string `json:"verdict"`
}

// An AssessmentFilter narrows a list; a zero field does not.
type AssessmentFilter struct {
	Player, Session, Rubric, ObservationID string
	Version                                int    // of the rubric
	From, To                               string // dates, both included
	Fault, Verdict                         string // both or neither
	Old                                    bool   // old ones too; not with Fault
}

// Assessments are the answers.
type Assessments interface {
	Assessment(ctx context.Context, id string) (Assessment, error)

	// Assessments lists newest first, by date and id.
	Assessments(ctx context.Context, f AssessmentFilter, p Page) ([]Assessment, error)

	// Reassess keeps a as the current assessment of its observation and makes
	// the former one old. Player, session, date and rubric are the observation's.
	Reassess(ctx context.Context, a Assessment, verdicts []Verdict) (Assessment, error)
}
