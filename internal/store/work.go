package store

import "context"

// A Job is work of a club that has not ended, as a backup takes it along.
type Job struct {
	ID   string `db:"id"`
	Kind string `db:"kind"` // the queue's own word
	Args JSON   `db:"args"` // the queue's own document
}

// Work is a queue of jobs that is kept in the same database beside the tables of
// the clubs.
type Work interface {
	// Prepare makes the queue's own tables.
	Prepare(ctx context.Context) error

	// Unfinished lists the jobs of the transaction's club that have not ended and
	// that nothing else in a backup tells of.
	Unfinished(ctx context.Context, tx Tx) ([]Job, error)

	// Resume puts such a job in again, under its id and once. It begins anew.
	Resume(ctx context.Context, tx Tx, j Job) error

	// Send asks anew for the messages of the transaction's club that its restored
	// tables tell of. Columns newer than the backup are not there yet.
	Send(ctx context.Context, tx Tx) error
}
