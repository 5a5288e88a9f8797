// Package store says what a club needs kept: plain rows and the small
// interfaces to read and write them. It knows no rules and no SQL.
//
// Every row belongs to one club. Ids are UUIDv7 text, dates are YYYY-MM-DD text
// that no time zone can shift, times are UTC to the microsecond.
package store

import (
	"context"
	"database/sql"

	"github.com/google/uuid"
)

// A Store keeps the data of many clubs. It is safe in all goroutines.
type Store interface {
	Doors

	// InTx runs fn in one writing transaction of one club: all of it is kept or
	// nothing. fn must not start another transaction on the same Store; the
	// embedded database has one writer and would wait for itself.
	InTx(ctx context.Context, club string, fn func(Tx) error) error

	// View runs fn on one consistent picture of a club's data. A write in it
	// fails with ErrReadOnly.
	View(ctx context.Context, club string, fn func(Tx) error) error

	// Backup writes everything, of one moment, to a new file while others write.
	// The file can be restored into either kind of database. The jobs of work that
	// have not ended are in it too; nil: there is no queue.
	Backup(ctx context.Context, file string, work Work) error

	// Restore reads a backup into a database that holds no club yet, and puts the
	// jobs in it into the queue again; nil: they are left out.
	Restore(ctx context.Context, file string, work Work) error

	// Ready reports whether the database answers and has the schema of this
	// program: nil, ErrOldSchema, ErrNewerSchema or ErrUnavailable.
	Ready(ctx context.Context) error

	Close() error
}

// Doors are what is looked up before the club is known.
type Doors interface {
	// CreateClub makes a club and runs fn in the same transaction, so that a
	// club never exists without its first rubrics and key. A name that is taken
	// gives ErrConflict. ID, CreatedAt and the log's key are filled in.
	CreateClub(ctx context.Context, c Club, fn func(Tx) error) (Club, error)

	// Clubs lists all clubs by name.
	Clubs(ctx context.Context) ([]Club, error)

	// ClubByName finds a club by its exact name, else ErrNotFound.
	ClubByName(ctx context.Context, name string) (Club, error)

	// KeyByHash finds a key and its club by the SHA-256 of the secret, in hex.
	// Revoked and expired keys are found too.
	KeyByHash(ctx context.Context, hash string) (club string, k Key, err error)

	// SessionByHash finds a page session and its club by the hash of its token.
	SessionByHash(ctx context.Context, hash string) (club string, s Session, err error)

	// LinkByHash finds a report link and its club by the hash of its token.
	LinkByHash(ctx context.Context, hash string) (club string, l Link, err error)
}

// A Tx is one transaction of one club. It is not safe in several goroutines.
type Tx interface {
	// ClubID is the club all reads and writes are confined to.
	ClubID() string

	// Now is the one time of the transaction; rows without a time get it.
	Now() Time

	// SQL is the transaction below, for a job queue that enqueues within it.
	SQL() *sql.Tx

	Settings
	Keys
	Sessions
	Players
	Groups
	Documents
	Observations
	Assessments
	Reviews
	Cues
	Ledger
	Tryouts
	Webhooks
	Links
	Exports
	Log
	Answers
	Retention
}

// NewID makes an id that sorts by the time it was made (UUIDv7, RFC 9562).
func NewID() string { return uuid.Must(uuid.NewV7()).String() }

// NewSurrogate makes an id that tells nothing, not even when it was made
// (UUIDv4): the log speaks of a player by it.
func NewSurrogate() string { return uuid.NewString() }
