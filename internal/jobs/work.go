package jobs

import (
	"context"
	"errors"
	"time"

	"github.com/riverqueue/river"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

// partSize is how many assessments one transaction makes anew at most.
const partSize = 100

func (q *Queue) workers() *river.Workers {
	w := river.NewWorkers()
	river.AddWorker(w, &reassessWorker{worker[reassess]{q: q}})
	river.AddWorker(w, &deliverWorker{worker[deliver]{q: q}})
	river.AddWorker(w, &exportWorker{worker[exportArgs]{q: q}})
	river.AddWorker(w, &expireWorker{worker[expireArgs]{q: q}})
	river.AddWorker(w, &eraseWorker{worker[erase]{q: q}})
	river.AddWorker(w, &retainWorker{worker[retain]{q: q}})
	return w
}

// attempts is how often a job may fail, or be left behind by a server that is
// killed, before it is given up: more often than servers are killed in its life.
const attempts = 100

// A worker is what all workers have in common.
type worker[T river.JobArgs] struct {
	river.WorkerDefaults[T]
	q *Queue
}

// NextRetry is soon for a job that failed or was left behind: what stopped it
// was the server or its database, and both come back at once or have nothing to
// run jobs with.
func (worker[T]) NextRetry(job *river.Job[T]) time.Time {
	return time.Now().Add(min(time.Duration(job.Attempt)*time.Second, time.Minute))
}

// note keeps what a job has done, though the server is just told to stop. A job
// that was cancelled ends with it.
func (w worker[T]) note(ctx context.Context, job int64, p club.Progress) error {
	row, err := w.q.client.JobUpdate(context.WithoutCancel(ctx), job, &river.JobUpdateParams{Output: keptOf(p)})
	if err == nil && toldToStop(row) {
		err = river.JobCancel(errCancelled)
	}
	return err
}

var errCancelled = errors.New("cancelled")

// Reassess implements club.Jobs. One that was told to stop does not stand for
// another; what comes after it says so, and is another.
func (q *Queue) Reassess(ctx context.Context, tx store.Tx, rubric string, version int, who string) (string, error) {
	args := reassess{Club: tx.ClubID(), Rubric: rubric, Version: version, Who: who}
	for {
		row, err := q.insertAs(ctx, tx, args, river.InsertOpts{Tags: []string{store.NewID()}})
		if err != nil {
			return "", err
		}
		if !toldToStop(row) {
			return row.Tags[0], nil
		}
		args.After = row.Tags[0]
	}
}

type reassess struct {
	Club    string `json:"club" river:"unique"`
	Rubric  string `json:"rubric" river:"unique"`
	Version int    `json:"version" river:"unique"`
	After   string `json:"after" river:"unique"`
	Who     string `json:"who"`
}

// InsertOpts implements river.JobArgsWithInsertOpts: of those that do the same,
// one waits or runs.
func (reassess) InsertOpts() river.InsertOpts {
	return river.InsertOpts{UniqueOpts: river.UniqueOpts{ByArgs: true, ByState: unfinished}}
}

// Kind implements river.JobArgs.
func (reassess) Kind() string { return "reassess" }

type reassessWorker struct{ worker[reassess] }

// Work goes on where an attempt before it stopped; a part done twice changes
// nothing the second time.
func (w *reassessWorker) Work(ctx context.Context, job *river.Job[reassess]) error {
	p, a := progressOf(job.JobRow), club.Actor{Club: job.Args.Club, KeyID: job.Args.Who, Health: true, Admin: true}
	for start := time.Now(); ; {
		var err error
		if p, err = w.q.clubs.ReassessSome(ctx, a, job.Args.Rubric, job.Args.Version, p, partSize); err != nil {
			return err
		}
		if err := w.note(ctx, job.ID, p); err != nil {
			return err
		}
		if p.After == (store.Cursor{}) {
			return nil
		}
		if time.Since(start) > turn {
			return river.JobSnooze(0)
		}
	}
}

// Deliver implements club.Jobs.
func (q *Queue) Deliver(ctx context.Context, tx store.Tx, delivery string) error {
	_, err := q.insert(ctx, tx, deliver{tx.ClubID(), delivery})
	return err
}

type deliver struct {
	Club     string `json:"club"`
	Delivery string `json:"delivery"`
}

// Kind implements river.JobArgs.
func (deliver) Kind() string { return "deliver" }

type deliverWorker struct{ worker[deliver] }

// Work makes one attempt. That a receiver does not take a message is no failure
// of the job: it waits, each time longer, and goes on. So what stops a server
// in the middle does not use up the receiver's attempts.
func (w *deliverWorker) Work(ctx context.Context, job *river.Job[deliver]) error {
	refused := waits(job.JobRow)
	last := refused >= len(w.q.after)
	err := w.q.clubs.DeliverOnce(ctx, job.Args.Club, job.Args.Delivery, last)
	switch {
	case !errors.Is(err, club.ErrNotDelivered):
		return err
	case last:
		return nil // the message says so itself
	}
	return river.JobSnooze(w.q.after[refused])
}

// Erase implements club.Jobs.
func (q *Queue) Erase(ctx context.Context, tx store.Tx, player, who string) (string, error) {
	return q.insert(ctx, tx, erase{tx.ClubID(), player, who})
}

type erase struct {
	Club   string `json:"club"`
	Player string `json:"player"` // the surrogate, which tells nothing
	Who    string `json:"who"`
}

// Kind implements river.JobArgs.
func (erase) Kind() string { return "erase" }

type eraseWorker struct{ worker[erase] }

// Work erases a player; one who is gone is erased already.
func (w *eraseWorker) Work(ctx context.Context, job *river.Job[erase]) error {
	e, err := w.q.clubs.EraseByID(ctx, club.Actor{Club: job.Args.Club, KeyID: job.Args.Who, Health: true, Admin: true}, job.Args.Player)
	if err != nil {
		return err
	}
	if e.Proof == "" {
		return nil
	}
	_, err = w.q.client.JobUpdate(ctx, job.ID, &river.JobUpdateParams{Output: keptOf(club.Progress{Done: 1, Proof: e.Proof})})
	return err
}

// retainEvery is how often what has outlived its time is deleted.
const retainEvery = 24 * time.Hour

func periodic() []*river.PeriodicJob {
	make := func() (river.JobArgs, *river.InsertOpts) {
		return retain{}, &river.InsertOpts{UniqueOpts: river.UniqueOpts{ByPeriod: retainEvery}, MaxAttempts: attempts}
	}
	return []*river.PeriodicJob{river.NewPeriodicJob(river.PeriodicInterval(retainEvery), make, &river.PeriodicJobOpts{ID: "retain", RunOnStart: true})}
}

type retain struct{}

// Kind implements river.JobArgs.
func (retain) Kind() string { return "retain" }

type retainWorker struct{ worker[retain] }

// Work deletes what has outlived its time, club by club.
func (w *retainWorker) Work(ctx context.Context, _ *river.Job[retain]) error {
	return w.q.clubs.RetainAll(ctx)
}
