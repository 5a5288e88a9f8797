package store

import "context"

// An Answer is what a write with an idempotency key was answered, to be given
// again when the same request comes again.
type Answer struct {
	Key         string `db:"key" json:"key"`
	Route       string `db:"route" json:"route"`
	BodyHash    string `db:"body_hash" json:"body_hash"` // SHA-256 of the request's body, hex
	InFlight    bool   `db:"in_flight" json:"in_flight"` // begun, not answered yet
	Status      int    `db:"status" json:"status"`       // HTTP status
	ContentType string `db:"content_type" json:"content_type"`
	Body        string `db:"body" json:"body"`
	CreatedAt   Time   `db:"created_at" json:"created_at"`
	Expires     Time   `db:"expires" json:"expires"`
}

// Answers are the kept answers.
type Answers interface {
	// BeginAnswer marks a key as in flight and gives nil; or, when the key is
	// known and not expired, gives what is kept under it and marks nothing.
	BeginAnswer(ctx context.Context, a Answer) (*Answer, error)

	// FinishAnswer keeps the answer under a key in flight.
	FinishAnswer(ctx context.Context, a Answer) error

	// DropAnswer forgets a key, so that the request can be tried again.
	DropAnswer(ctx context.Context, key string) error
}

// Retention deletes what has outlived its time.
type Retention interface {
	// Sweep deletes expired sessions and answers, and deliveries and links that
	// ended before the given date; it gives the number of rows by table.
	Sweep(ctx context.Context, before string) (map[string]int, error)

	// ForgetBefore deletes up to limit observations dated before the given date,
	// with all that hangs on them, and the ledger entries and cues of that time;
	// players under legal hold are left out. It gives the number of rows by
	// table; none left gives an empty map.
	ForgetBefore(ctx context.Context, before string, limit int) (map[string]int, error)
}
