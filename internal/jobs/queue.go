// Package jobs runs the work that outlives a request: re-assessment, webhooks,
// exports, erasure and retention. It is kept in the same database as the club's
// data and goes in with the same transaction. Several servers on one PostgreSQL
// share the work; each job is done once.
//
// The queue is asked for work, it is not told of it: that works alike on both
// databases. What a job is kept with holds ids only, nothing of a player.
package jobs

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"log/slog"
	"time"

	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver"
	"github.com/riverqueue/river/riverdriver/riverdatabasesql"
	"github.com/riverqueue/river/riverdriver/riversqlite"
	"github.com/riverqueue/river/rivermigrate"
	"github.com/riverqueue/river/rivertype"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

// A Database is what the queue needs to know of where it is kept.
type Database interface {
	Writer() *sql.DB
	Postgres() bool

	// Failure gives an error of the database's driver its kind.
	Failure(ctx context.Context, err error) error
}

// Options set how a queue works; the zero value is for production.
type Options struct {
	Log   *slog.Logger    // nil: nothing is logged
	Poll  time.Duration   // how often work is looked for; a second when 0
	After []time.Duration // waits between attempts to deliver; club.Backoff when nil
}

// A Queue keeps jobs and runs them. It is a club.Jobs.
type Queue struct {
	db     Database
	client *river.Client[*sql.Tx]
	clubs  *club.Clubs
	after  []time.Duration
}

var _ club.Jobs = (*Queue)(nil)

// workers is how many jobs run at once. The embedded database has one writer,
// which more would only keep waiting for.
const workers = 4

// A job that takes long gives way after a turn and goes on in the next. So one
// that has run for longer was left behind by a server that is gone, and is
// taken up by another. A message has less than grace to be sent.
const (
	turn        = 10 * time.Second
	grace       = 20 * time.Second
	rescueAfter = 40 * time.Second
)

// keepJobs is how long an ended job can be asked about.
const keepJobs = 7 * 24 * time.Hour

// New builds the queue of a database and makes it the clubs' own. It runs
// nothing before Start.
func New(db Database, clubs *club.Clubs, o Options) (*Queue, error) {
	q := &Queue{db: db, clubs: clubs, after: o.After}
	if q.after == nil {
		q.after = club.Backoff
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	client, err := river.NewClient(driver(db), &river.Config{
		Queues:                      map[string]river.QueueConfig{river.QueueDefault: {MaxWorkers: workers}},
		Workers:                     q.workers(),
		PeriodicJobs:                periodic(),
		PollOnly:                    true,
		FetchPollInterval:           cmp.Or(o.Poll, time.Second),
		FetchCooldown:               min(cmp.Or(o.Poll, 100*time.Millisecond), 100*time.Millisecond),
		JobTimeout:                  turn + grace,
		RescueStuckJobsAfter:        rescueAfter,
		Logger:                      o.Log,
		CompletedJobRetentionPeriod: keepJobs,
		CancelledJobRetentionPeriod: keepJobs,
		DiscardedJobRetentionPeriod: keepJobs,
	})
	if err != nil {
		return nil, err
	}
	q.client, clubs.Jobs = client, q
	return q, nil
}

func driver(db Database) riverdriver.Driver[*sql.Tx] {
	if db.Postgres() {
		return riverdatabasesql.New(db.Writer())
	}
	return riversqlite.New(db.Writer())
}

// Migrate brings the queue's own tables up to this program's. Several may call
// it at once: who comes second finds it done.
func Migrate(ctx context.Context, db Database) error {
	m, err := rivermigrate.New(driver(db), &rivermigrate.Config{Logger: slog.New(slog.DiscardHandler)})
	if err != nil {
		return err
	}
	const tries = 50
	for try := 1; ; try++ {
		if _, err = m.Migrate(ctx, rivermigrate.DirectionUp, nil); err == nil || try == tries {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// Start runs jobs until Stop.
func (q *Queue) Start(ctx context.Context) error { return q.client.Start(ctx) }

// Stop lets running jobs end their part, as long as ctx allows; what is left is
// gone on with by whoever starts next.
func (q *Queue) Stop(ctx context.Context) error { return q.client.StopAndCancel(ctx) }

// insert puts a job in with a transaction and gives its id.
func (q *Queue) insert(ctx context.Context, tx store.Tx, args river.JobArgs) (string, error) {
	row, err := q.insertAs(ctx, tx, args, river.InsertOpts{Tags: []string{store.NewID()}})
	if err != nil {
		return "", err
	}
	return row.Tags[0], nil
}

// insertAs puts a job in under a tag, which is the id to find it by. Where only
// one of its like may be unfinished, it gives the one that is there.
func (q *Queue) insertAs(ctx context.Context, tx store.Tx, args river.JobArgs, o river.InsertOpts) (*rivertype.JobRow, error) {
	o.MaxAttempts = attempts
	done, err := q.client.InsertTx(ctx, tx.SQL(), args, &o)
	if err != nil {
		return nil, q.db.Failure(ctx, err)
	}
	return done.Job, nil
}

// find finds a club's job by its id.
func (q *Queue) find(ctx context.Context, club, id string) (*rivertype.JobRow, error) {
	found, err := q.client.JobList(ctx, river.NewJobListParams().TagsAny(id).First(1))
	if err != nil {
		return nil, q.db.Failure(ctx, err)
	}
	if len(found.Jobs) == 0 || clubOf(found.Jobs[0]) != club {
		return nil, store.ErrNotFound
	}
	return found.Jobs[0], nil
}

// Job implements club.Jobs.
func (q *Queue) Job(ctx context.Context, club, id string) (club.Job, error) {
	row, err := q.find(ctx, club, id)
	if err != nil {
		return noJob, err
	}
	return jobOf(id, row), nil
}

// CancelJob implements club.Jobs.
func (q *Queue) CancelJob(ctx context.Context, club, id string) (club.Job, error) {
	row, err := q.find(ctx, club, id)
	if err != nil {
		return noJob, err
	}
	row, err = q.client.JobCancel(ctx, row.ID)
	if errors.Is(err, rivertype.ErrNotFound) {
		return noJob, store.ErrNotFound
	}
	if err != nil {
		return noJob, q.db.Failure(ctx, err)
	}
	return jobOf(id, row), nil
}
