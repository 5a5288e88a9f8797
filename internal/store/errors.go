package store

import "errors"

// What a call can fail with, beside the context's own errors. Compare with
// errors.Is; the text below them is the driver's and for the operator's log.
var (
	// ErrNotFound: no such row in this club.
	ErrNotFound = errors.New("not found")

	// ErrConflict: something with this identity is there already, or the version
	// the caller built on is no longer the newest. Read again and retry.
	ErrConflict = errors.New("conflict with what is stored")

	// ErrInvalid: the database refused a value (a date that is none, a reference
	// to a row that is not there, a NUL in a text). Retrying cannot help.
	ErrInvalid = errors.New("value refused by the database")

	// ErrUnavailable: the database cannot be reached, is busy or is shutting
	// down. The same call may succeed later.
	ErrUnavailable = errors.New("database unavailable")

	// ErrFull: no room is left on the disk. It is also an ErrUnavailable.
	ErrFull = errors.New("disk full")

	// ErrReadOnly: a write within View.
	ErrReadOnly = errors.New("write in a read-only transaction")

	// ErrFenced: PostgreSQL's row security stopped a row of another club. A
	// defect of the program, never of a client.
	ErrFenced = errors.New("row of another club")

	// ErrDamaged: the file is not a database or not a backup, or is damaged.
	ErrDamaged = errors.New("file damaged or of another kind")

	// ErrOldSchema: the database is older than the program; migrate it.
	ErrOldSchema = errors.New("database schema is older than this program")

	// ErrNewerSchema: the database is newer than the program; nothing is touched.
	ErrNewerSchema = errors.New("database schema is newer than this program")

	// ErrClock: this machine and the database's do not agree on what time it is.
	ErrClock = errors.New("the clocks differ")

	// ErrNotEmpty: a backup is restored only into a database without clubs.
	ErrNotEmpty = errors.New("database holds clubs already")

	// ErrBrokenLog: the change log's chain does not hold.
	ErrBrokenLog = errors.New("change log broken")
)
