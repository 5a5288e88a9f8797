package store

import "context"

// A Player is known by the club's own reference; no name is ever needed.
type Player struct {
	// ID is a random surrogate. The log speaks of the player by it, so that
	// after an erasure the log points nowhere.
	ID           string   `db:"id" json:"id"`
	Ref          string   `db:"ref" json:"ref"`                         // unique in the club
	Born         *string  `db:"born" json:"born,omitempty"`             // YYYY-MM
	Age          *int     `db:"age" json:"age,omitempty"`               // playing age as stated, years
	AgeOn        *string  `db:"age_on" json:"age_on,omitempty"`         // date on which Age was stated
	Throws       *string  `db:"throws" json:"throws,omitempty"`         // left, right
	StatureCM    *float64 `db:"stature_cm" json:"stature_cm,omitempty"` // cm
	StatureOn    *string  `db:"stature_on" json:"stature_on,omitempty"` // date it was taken
	Groups       Strings  `db:"groups" json:"groups"`                   // teams and training groups
	ConsentOn    *string  `db:"consent_on" json:"consent_on,omitempty"` // date of the guardian's consent
	ConsentScope string   `db:"consent_scope" json:"consent_scope"`     // what was consented to
	LegalHold    bool     `db:"legal_hold" json:"legal_hold"`           // the law makes the club keep the data
	HoldWhy      string   `db:"hold_why" json:"hold_why"`
	CreatedAt    Time     `db:"created_at" json:"created_at"`
	UpdatedAt    Time     `db:"updated_at" json:"updated_at"`
}

// Players are the club's players.
type Players interface {
	Player(ctx context.Context, ref string) (Player, error)

	// PlayerByID finds a player by the surrogate, as which the log and jobs
	// speak of one.
	PlayerByID(ctx context.Context, id string) (Player, error)

	// PutPlayer makes or replaces the player with this Ref. ID and CreatedAt of
	// a known player stay.
	PutPlayer(ctx context.Context, p Player) (Player, error)

	// EnsurePlayers makes a bare player for every reference not yet known. It
	// must come before rows that refer to them.
	EnsurePlayers(ctx context.Context, refs ...string) error

	// Players lists by reference, from the first one after the given one;
	// a group of "" takes all.
	Players(ctx context.Context, group, after string, limit int) ([]Player, error)

	// ErasePlayer deletes everything held on a player and logs that it did,
	// by who, without the reference. The exports that hold the player go too.
	// Legal hold is the caller's to respect.
	ErasePlayer(ctx context.Context, ref, who string) (Erasure, error)
}

// An Erasure says what was deleted, by table, and how to prove it later.
type Erasure struct {
	PlayerID string         `json:"-"`       // the surrogate, gone now
	Deleted  map[string]int `json:"deleted"` // rows by table
	Proof    string         `json:"proof"`   // HMAC-SHA-256 of the reference under the club's LogKey, hex
}
