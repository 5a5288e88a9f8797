package jobs

import (
	"context"
	"time"

	"github.com/riverqueue/river"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

// Export implements club.Jobs.
func (q *Queue) Export(ctx context.Context, tx store.Tx, export string) (string, error) {
	return q.insert(ctx, tx, exportArgs{tx.ClubID(), export})
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
			if _, err := w.q.client.JobUpdate(context.WithoutCancel(ctx), job.ID, &river.JobUpdateParams{Output: keptOf(club.Progress{Done: rows})}); err != nil || done {
				return err
			}
		}
		if left {
			return river.JobSnooze(0)
		}
	}
}
