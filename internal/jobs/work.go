package jobs

import (
	"context"
	"time"

	"github.com/riverqueue/river"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

// partSize is how many assessments one transaction makes anew.
const partSize = 200

func (q *Queue) workers() *river.Workers {
	w := river.NewWorkers()
	river.AddWorker(w, &reassessWorker{q: q})
	river.AddWorker(w, &deliverWorker{q: q})
	river.AddWorker(w, &eraseWorker{q: q})
	river.AddWorker(w, &retainWorker{q: q})
	return w
}

// Reassess implements club.Jobs.
func (q *Queue) Reassess(ctx context.Context, tx store.Tx, rubric string, version int, who string) (string, error) {
	return q.insert(ctx, tx, reassess{tx.ClubID(), rubric, version, who}, 10)
}

type reassess struct {
	Club    string `json:"club"`
	Rubric  string `json:"rubric"`
	Version int    `json:"version"`
	Who     string `json:"who"`
}

// Kind implements river.JobArgs.
func (reassess) Kind() string { return "reassess" }

type reassessWorker struct {
	river.WorkerDefaults[reassess]
	q *Queue
}

// Work goes on where an attempt before it stopped; a part done twice changes
// nothing the second time.
func (w *reassessWorker) Work(ctx context.Context, job *river.Job[reassess]) error {
	p, a := progressOf(job.JobRow), club.Actor{Club: job.Args.Club, KeyID: job.Args.Who, Health: true, Admin: true}
	for start := time.Now(); ; {
		next, n, err := w.q.clubs.ReassessSome(ctx, a, job.Args.Rubric, job.Args.Version, p.After, partSize)
		if err != nil {
			return err
		}
		p.Done, p.Kept, p.Refused, p.After = p.Done+n.Done, p.Kept+n.Kept, p.Refused+n.Refused, next
		// A part that is done is noted, though the server is just told to stop.
		if _, err := w.q.client.JobUpdate(context.WithoutCancel(ctx), job.ID, &river.JobUpdateParams{Output: keptOf(p)}); err != nil {
			return err
		}
		if next == (store.Cursor{}) {
			return nil
		}
		if time.Since(start) > turn {
			return river.JobSnooze(0)
		}
	}
}

// Deliver implements club.Jobs.
func (q *Queue) Deliver(ctx context.Context, tx store.Tx, delivery string) error {
	_, err := q.insert(ctx, tx, deliver{tx.ClubID(), delivery}, len(q.after)+1)
	return err
}

type deliver struct {
	Club     string `json:"club"`
	Delivery string `json:"delivery"`
}

// Kind implements river.JobArgs.
func (deliver) Kind() string { return "deliver" }

type deliverWorker struct {
	river.WorkerDefaults[deliver]
	q *Queue
}

// NextRetry waits longer after each attempt.
func (w *deliverWorker) NextRetry(job *river.Job[deliver]) time.Time {
	return time.Now().Add(w.q.after[min(max(job.Attempt, 1), len(w.q.after))-1])
}

// Work makes one attempt.
func (w *deliverWorker) Work(ctx context.Context, job *river.Job[deliver]) error {
	return w.q.clubs.DeliverOnce(ctx, job.Args.Club, job.Args.Delivery, job.Attempt >= job.MaxAttempts)
}

// Erase implements club.Jobs.
func (q *Queue) Erase(ctx context.Context, tx store.Tx, player, who string) (string, error) {
	return q.insert(ctx, tx, erase{tx.ClubID(), player, who}, 10)
}

type erase struct {
	Club   string `json:"club"`
	Player string `json:"player"` // the surrogate, which tells nothing
	Who    string `json:"who"`
}

// Kind implements river.JobArgs.
func (erase) Kind() string { return "erase" }

type eraseWorker struct {
	river.WorkerDefaults[erase]
	q *Queue
}

// Work erases a player; one who is gone is erased already.
func (w *eraseWorker) Work(ctx context.Context, job *river.Job[erase]) error {
	e, err := w.q.clubs.EraseByID(ctx, club.Actor{Club: job.Args.Club, KeyID: job.Args.Who, Health: true, Admin: true}, job.Args.Player)
	if err != nil {
		return err
	}
	p := club.Progress{Done: 1, Proof: e.Proof}
	if e.Proof == "" {
		return nil
	}
	_, err = w.q.client.JobUpdate(ctx, job.ID, &river.JobUpdateParams{Output: keptOf(p)})
	return err
}

// retainEvery is how often what has outlived its time is deleted.
const retainEvery = 24 * time.Hour

func periodic() []*river.PeriodicJob {
	make := func() (river.JobArgs, *river.InsertOpts) {
		return retain{}, &river.InsertOpts{UniqueOpts: river.UniqueOpts{ByPeriod: retainEvery}, MaxAttempts: 3}
	}
	return []*river.PeriodicJob{river.NewPeriodicJob(river.PeriodicInterval(retainEvery), make, &river.PeriodicJobOpts{ID: "retain", RunOnStart: true})}
}

type retain struct{}

// Kind implements river.JobArgs.
func (retain) Kind() string { return "retain" }

type retainWorker struct {
	river.WorkerDefaults[retain]
	q *Queue
}

// Work deletes what has outlived its time, club by club.
func (w *retainWorker) Work(ctx context.Context, _ *river.Job[retain]) error {
	return w.q.clubs.RetainAll(ctx)
}
