package store

import "context"

// An Observation is one document an evaluator submitted.
type Observation struct {
	ID             string  `db:"id" json:"id"`
	PlayerRef      string  `db:"player_ref" json:"player"`
	Rubric         string  `db:"rubric" json:"rubric"`
	On             string  `db:"on_date" json:"on"`
	Session        string  `db:"session" json:"session"` // "" for none
	Rater          string  `db:"rater" json:"rater"`     // "" for none
	TryoutID       *string `db:"tryout_id" json:"tryout,omitempty"`
	Input          Body    `db:"input" json:"input"`           // canonical bytes
	InputHash      string  `db:"input_hash" json:"input_hash"` // unique in the club: the same document twice is one observation; "-" and the id behind it once another went back to it
	IdempotencyKey *string `db:"idempotency_key" json:"idempotency_key,omitempty"`
	Supersedes     *string `db:"supersedes" json:"supersedes,omitempty"`       // the observation this one corrects
	SupersededBy   *string `db:"superseded_by" json:"superseded_by,omitempty"` // set by the store
	ReceivedAt     Time    `db:"received_at" json:"received_at"`
}

// A Submission is an observation with its assessment, saved together.
type Submission struct {
	Observation Observation
	Assessment  Assessment
	Verdicts    []Verdict
}

// A PlayerDay is one day of one player.
type PlayerDay struct{ Player, On string }

// An ObservationFilter narrows a list; a zero field does not.
type ObservationFilter struct {
	Player, Rubric, Session, Rater, TryoutID string
	From, To                                 string // dates, both included
	All                                      bool   // superseded ones too
}

// Observations are what came in.
type Observations interface {
	// Save keeps submissions, all or none, in as few statements as the database
	// allows. Empty ids and times are filled in, in place; the assessment takes
	// player, session, date and rubric from its observation. One whose Supersedes
	// is set retires the named observation and its assessments, and may go back
	// to the content of one that was replaced. Any other content known already
	// gives ErrConflict: ask ObservationsByHash first.
	Save(ctx context.Context, subs []Submission) error

	Observation(ctx context.Context, id string) (Observation, error)
	ObservationsByID(ctx context.Context, ids []string) (map[string]Observation, error)
	ObservationsByHash(ctx context.Context, hashes []string) (map[string]Observation, error)

	// ObservationsOn gives the observations of some players on some days, those
	// not superseded, oldest first of each.
	ObservationsOn(ctx context.Context, days []PlayerDay) ([]Observation, error)

	// Observations lists newest first, by date and id.
	Observations(ctx context.Context, f ObservationFilter, p Page) ([]Observation, error)
}
