package store

import "context"

// The states of a tryout.
const (
	TryoutOpen   = "open"
	TryoutClosed = "closed"
)

// A Tryout is one event at which a panel grades players by bib.
type Tryout struct {
	ID        string `db:"id" json:"id"`
	Name      string `db:"name" json:"name"`
	Settings  JSON   `db:"settings" json:"settings"` // the club layer's own document
	State     string `db:"state" json:"state"`       // TryoutOpen or TryoutClosed
	CreatedAt Time   `db:"created_at" json:"created_at"`
}

// A RosterEntry ties a bib to a player for one tryout.
type RosterEntry struct {
	TryoutID    string `db:"tryout_id" json:"tryout"`
	Bib         string `db:"bib" json:"bib"`
	PlayerRef   string `db:"player_ref" json:"player"`
	WithdrawnAt *Time  `db:"withdrawn_at" json:"withdrawn_at,omitempty"`
	At          Time   `db:"at" json:"at"`
}

// A Grade is what one evaluator gave one bib for one item at one look.
type Grade struct {
	TryoutID  string `db:"tryout_id" json:"tryout"`
	Bib       string `db:"bib" json:"bib"`
	Evaluator string `db:"evaluator" json:"evaluator"`
	Item      string `db:"item" json:"item"`
	Look      int    `db:"look" json:"look"`   // from 1
	Grade     string `db:"grade" json:"grade"` // as given: a number, yes, no
	Who       string `db:"who" json:"who"`
	At        Time   `db:"at" json:"at"`
}

// What became of a grade.
const (
	GradeStored    = "stored"
	GradeSame      = "same"      // known already, nothing changed
	GradeCorrected = "corrected" // replaced another grade of the same look
)

// A Recusal keeps an evaluator off a player.
type Recusal struct {
	TryoutID  string `db:"tryout_id" json:"tryout"`
	Evaluator string `db:"evaluator" json:"evaluator"`
	Bib       string `db:"bib" json:"bib"`
	Why       string `db:"why" json:"why"`
	Who       string `db:"who" json:"who"`
	At        Time   `db:"at" json:"at"`
}

// A Decision is what was decided on a bib, or an appeal against it.
type Decision struct {
	ID       string `db:"id" json:"id"`
	TryoutID string `db:"tryout_id" json:"tryout"`
	Bib      string `db:"bib" json:"bib"`
	Kind     string `db:"kind" json:"kind"` // decision, appeal
	Body     JSON   `db:"body" json:"body"` // the club layer's own document
	Who      string `db:"who" json:"who"`
	At       Time   `db:"at" json:"at"`
}

// Tryouts are the tryouts and all that hangs on them.
type Tryouts interface {
	AddTryout(ctx context.Context, t Tryout) (Tryout, error)
	Tryout(ctx context.Context, id string) (Tryout, error)
	// Tryouts lists newest first.
	Tryouts(ctx context.Context) ([]Tryout, error)
	PutTryout(ctx context.Context, t Tryout) error

	// PutRoster makes or replaces the entries of these bibs. A player under two
	// bibs gives ErrConflict.
	PutRoster(ctx context.Context, entries []RosterEntry) error
	// Roster lists by bib, withdrawn ones too.
	Roster(ctx context.Context, tryoutID string) ([]RosterEntry, error)
	// RosterOf lists the entries of one player, oldest first.
	RosterOf(ctx context.Context, ref string) ([]RosterEntry, error)
	// MoveBibs gives players other bibs, old to new; grades, recusals and
	// decisions follow the player. Bibs may be swapped. One that is not on the
	// roster gives ErrNotFound, one that another player keeps ErrConflict.
	MoveBibs(ctx context.Context, tryoutID string, to map[string]string) error

	// PutGrades keeps grades and says in order what became of each: GradeStored,
	// GradeSame or GradeCorrected. The bib must be on the roster.
	PutGrades(ctx context.Context, grades []Grade) ([]string, error)
	// Grades lists by bib, evaluator, item, look.
	Grades(ctx context.Context, tryoutID string) ([]Grade, error)
	CountGrades(ctx context.Context, tryoutID string) (int, error)
	// LastLooks gives the largest look of one evaluator for each bib graded.
	LastLooks(ctx context.Context, tryoutID, evaluator string) (map[string]int, error)

	PutRecusal(ctx context.Context, r Recusal) error
	Recusals(ctx context.Context, tryoutID string) ([]Recusal, error)
	// DropRecusal takes one back, else ErrNotFound.
	DropRecusal(ctx context.Context, tryoutID, evaluator, bib string) error

	AddDecision(ctx context.Context, d Decision) (Decision, error)
	// Decisions lists oldest first.
	Decisions(ctx context.Context, tryoutID string) ([]Decision, error)
}
