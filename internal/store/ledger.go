package store

import "context"

// A Throw is one dated entry of a player's arm ledger. It never changes; a
// correction is another entry that supersedes it.
type Throw struct {
	ID                string  `db:"id" json:"id"`
	PlayerRef         string  `db:"player_ref" json:"player"`
	Date              string  `db:"on_date" json:"date"`
	Kind              string  `db:"kind" json:"kind"`
	Count             *int    `db:"count" json:"count"` // nil: unknown, never zero
	CountAtLastBatter *int    `db:"count_at_last_batter" json:"count_at_last_batter,omitempty"`
	Game              string  `db:"game" json:"game"`
	Pain              string  `db:"pain" json:"pain"`
	Note              string  `db:"note" json:"note"`
	Where             string  `db:"place" json:"where"`
	Source            string  `db:"source" json:"source"`                      // who or what counted
	AssessmentID      *string `db:"assessment_id" json:"assessment,omitempty"` // counted from its reps
	Supersedes        *string `db:"supersedes" json:"supersedes,omitempty"`
	SupersededBy      *string `db:"superseded_by" json:"superseded_by,omitempty"` // set by the store
	Who               string  `db:"who" json:"who"`
	At                Time    `db:"at" json:"at"`
}

// Ledger is the arm ledger.
type Ledger interface {
	// AddThrows keeps entries; one whose Supersedes is set retires the named one.
	// Retiring one that is retired already gives ErrConflict.
	AddThrows(ctx context.Context, throws []Throw) error

	Throw(ctx context.Context, id string) (Throw, error)

	// Throws lists a player's entries from..to by date, both included, "" = open;
	// all takes superseded ones too.
	Throws(ctx context.Context, playerRef, from, to string, all bool) ([]Throw, error)

	// ThrowsOf lists the entries of several players, all but superseded ones, by
	// player and date.
	ThrowsOf(ctx context.Context, playerRefs []string) (map[string][]Throw, error)
}
