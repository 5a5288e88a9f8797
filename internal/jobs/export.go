package jobs

import (
	"context"
	"time"

	"github.com/riverqueue/river"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

// Export implements club.Jobs.
func (q *Queue) Export(ctx context.Context, tx store.Tx, export string, expires store.Time) (string, error) {
	id, err := q.insert(ctx, tx, exportArgs{tx.ClubID(), export})
	if err == nil {
		err = q.expire(ctx, tx, export, expires)
	}
	return id, err
}

// expire drops an export when its time is over.
func (q *Queue) expire(ctx context.Context, tx store.Tx, export string, at store.Time) error {
	_, err := q.insertAs(ctx, tx, expireArgs{tx.ClubID(), export}, river.InsertOpts{Tags: []string{store.NewID()}, ScheduledAt: at.Time})
	return err
}

// tellEvery is how often the job says how far it is.
const tellEvery = time.Second

type exportArgs struct {
	Club   string `json:"club"`
	Export string `json:"export"`
}

// Kind implements river.JobArgs.
func (exportArgs) Kind() string { return "export" }

type exportWorker struct{ worker[exportArgs] }

// Work makes an export part by part and goes on where an attempt before it
// stopped.
func (w *exportWorker) Work(ctx context.Context, job *river.Job[exportArgs]) error {
	start := time.Now()
	for told := start; ; {
		rows, done, err := w.q.clubs.ExportSome(ctx, job.Args.Club, job.Args.Export)
		if err != nil {
			return err
		}
		left := time.Since(start) > turn
		if done || left || time.Since(told) > tellEvery {
			told = time.Now()
			if err := w.note(ctx, job.ID, club.Progress{Done: rows}); err != nil || done {
				return err
			}
		}
		if left {
			return river.JobSnooze(0)
		}
	}
}

type expireArgs struct {
	Club   string `json:"club"`
	Export string `json:"export"`
}

// Kind implements river.JobArgs.
func (expireArgs) Kind() string { return "expire" }

type expireWorker struct{ worker[expireArgs] }

// Work comes again when it comes too early.
func (w *expireWorker) Work(ctx context.Context, job *river.Job[expireArgs]) error {
	left, err := w.q.clubs.ExpireExport(ctx, job.Args.Club, job.Args.Export)
	if err == nil && left > 0 {
		return river.JobSnooze(left)
	}
	return err
}
