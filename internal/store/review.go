package store

import "context"

// A Review is an instructor's word on an assessment. It never changes; another
// word is the next revision.
type Review struct {
	AssessmentID string `db:"assessment_id" json:"assessment"`
	Revision     int    `db:"revision" json:"revision"` // from 1
	Body         JSON   `db:"body" json:"body"`         // the club layer's own document
	Released     bool   `db:"released" json:"released"` // the family may read it
	Who          string `db:"who" json:"who"`
	At           Time   `db:"at" json:"at"`
}

// Reviews are the instructors' words.
type Reviews interface {
	// AddReview keeps the next revision. base is the revision the author built
	// on, 0 for none; when it is not the newest, the answer is ErrConflict.
	AddReview(ctx context.Context, r Review, base int) (Review, error)

	// LatestReviews gives the newest revision by assessment id.
	LatestReviews(ctx context.Context, assessmentIDs []string) (map[string]Review, error)

	// Reviews lists all revisions, newest first.
	Reviews(ctx context.Context, assessmentID string) ([]Review, error)
}

// A Cue is one thing to work on that was handed to a player.
type Cue struct {
	ID           string  `db:"id" json:"id"`
	PlayerRef    string  `db:"player_ref" json:"player"`
	AssessmentID *string `db:"assessment_id" json:"assessment,omitempty"`
	Fault        string  `db:"fault" json:"fault"`
	Drill        string  `db:"drill" json:"drill"`
	HandedOn     string  `db:"handed_on" json:"handed_on"`       // date
	DoneOn       *string `db:"done_on" json:"done_on,omitempty"` // date
	Who          string  `db:"who" json:"who"`
	At           Time    `db:"at" json:"at"`
}

// Cues are what was handed out and what was done.
type Cues interface {
	AddCues(ctx context.Context, cues []Cue) error
	// Cues lists a player's, newest first.
	Cues(ctx context.Context, playerRef string) ([]Cue, error)
	// CuesFor lists what was handed out for a fault by assessments of a rubric,
	// to all players, oldest first.
	CuesFor(ctx context.Context, rubric, fault string) ([]Cue, error)
	// MarkCue sets or, with nil, takes back the date a cue was done on.
	MarkCue(ctx context.Context, id string, doneOn *string) error
}
