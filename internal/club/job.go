package club

import (
	"context"
	"time"

	"rootcue/internal/store"
)

// The states of a job.
const (
	JobWaiting   = "waiting"
	JobRunning   = "running"
	JobDone      = "done"
	JobFailed    = "failed" // for good; see its problem
	JobCancelled = "cancelled"
)

// A Job is work that outlives a request.
type Job struct {
	ID       string     `json:"id" doc:"Names the job"`
	Kind     string     `json:"kind" doc:"What it does" enum:"reassess,export,erase,deliver"`
	State    string     `json:"state" doc:"How far it is" enum:"waiting,running,done,failed,cancelled"`
	Progress Progress   `json:"progress" doc:"What it has done so far"`
	Problem  string     `json:"problem" doc:"Why the last attempt failed; empty if none did"`
	Attempt  int        `json:"attempt" doc:"Attempts so far"`
	MadeAt   time.Time  `json:"made_at" doc:"When it was asked for"`
	EndedAt  *time.Time `json:"ended_at" doc:"When it ended; null until then"`
}

// Ended reports whether nothing more will come of a job.
func (j Job) Ended() bool {
	return j.State == JobDone || j.State == JobFailed || j.State == JobCancelled
}

// Progress counts what a job has done.
type Progress struct {
	Done    int          `json:"done" doc:"Done so far"`
	Kept    int          `json:"kept" doc:"Left as they were, because nothing was to be done"`
	Refused int          `json:"refused" doc:"Could not be done; what was there stays"`
	After   store.Cursor `json:"-"` // where it goes on

	Overtaken int `json:"overtaken,omitempty" doc:"The rubric's version that came into force meanwhile, which ended a re-assessment by an older one"`

	Proof string `json:"proof,omitempty" doc:"Of an erasure: what the change log shows for it"`
}

// Job tells how far a job is.
func (c *Clubs) Job(ctx context.Context, a Actor, id string) (Job, error) {
	if c.Jobs == nil {
		return Job{}, store.ErrNotFound
	}
	return c.Jobs.Job(ctx, a.Club, id)
}

// CancelJob stops a job. What it has done until then stays.
func (c *Clubs) CancelJob(ctx context.Context, a Actor, id string) (Job, error) {
	if c.Jobs == nil {
		return Job{}, store.ErrNotFound
	}
	j, err := c.Jobs.CancelJob(ctx, a.Club, id)
	if err != nil {
		return j, err
	}
	return j, c.write(ctx, a, func(tx store.Tx) error {
		return logged(ctx, tx, a.KeyID, "job.cancelled", "job/"+id, map[string]any{"kind": j.Kind})
	})
}
