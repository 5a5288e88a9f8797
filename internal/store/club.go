package store

import "context"

// A Club owns everything else.
type Club struct {
	ID        string `db:"id" json:"id"`
	Name      string `db:"name" json:"name"`
	Settings  JSON   `db:"settings" json:"settings"` // the club layer's own document
	CreatedAt Time   `db:"created_at" json:"created_at"`

	// LogKey (hex) keys the proof of an erasure, so that the log can show that a
	// reference was erased without holding it.
	LogKey  string `db:"log_key" json:"-"`
	LogSeq  int64  `db:"log_seq" json:"-"`  // seq of the last change
	LogHash string `db:"log_hash" json:"-"` // hash of the last change, "" before the first
}

// Settings read and write the club's own row.
type Settings interface {
	Club(ctx context.Context) (Club, error)
	PutSettings(ctx context.Context, settings JSON) error
}

// A Key lets a program or a person in. The secret itself is never kept.
type Key struct {
	ID        string `db:"id" json:"id"`
	Label     string `db:"label" json:"label"`
	Prefix    string `db:"prefix" json:"prefix"` // first letters of the secret, to tell keys apart
	Hash      string `db:"hash" json:"-"`        // SHA-256 of the secret, hex
	Role      string `db:"role" json:"role"`     // read, submit, edit, admin
	CreatedAt Time   `db:"created_at" json:"created_at"`
	Expires   *Time  `db:"expires" json:"expires,omitempty"`
	LastUsed  *Time  `db:"last_used" json:"last_used,omitempty"`
	RevokedAt *Time  `db:"revoked_at" json:"revoked_at,omitempty"`
}

// Keys are the club's keys.
type Keys interface {
	// AddKey keeps a new key; a hash known already gives ErrConflict.
	AddKey(ctx context.Context, k Key) (Key, error)
	Key(ctx context.Context, id string) (Key, error)
	// Keys lists all, oldest first, revoked ones too.
	Keys(ctx context.Context) ([]Key, error)
	RevokeKey(ctx context.Context, id string) error
	// TouchKey notes the use of a key. One write a call: the caller spaces them.
	TouchKey(ctx context.Context, id string) error
}

// A Session is a key signed in to the pages.
type Session struct {
	Hash      string `db:"hash" json:"-"` // SHA-256 of the cookie's token, hex
	KeyID     string `db:"key_id" json:"key_id"`
	CSRF      string `db:"csrf" json:"-"`
	CreatedAt Time   `db:"created_at" json:"created_at"`
	Expires   Time   `db:"expires" json:"expires"`
}

// Sessions are the page sessions. Revoking a key ends its sessions.
type Sessions interface {
	AddSession(ctx context.Context, s Session) error
	EndSession(ctx context.Context, hash string) error
}
