package jobs

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"slices"

	"github.com/riverqueue/river"
	"github.com/riverqueue/river/rivertype"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

var _ store.Work = (*Queue)(nil)

// unfinished are the states of jobs that have not ended.
var unfinished = []rivertype.JobState{
	rivertype.JobStateAvailable, rivertype.JobStatePending, rivertype.JobStateRetryable, rivertype.JobStateScheduled, rivertype.JobStateRunning,
}

// Prepare implements store.Work.
func (q *Queue) Prepare(ctx context.Context) error { return Migrate(ctx, q.db) }

// Unfinished implements store.Work.
func (q *Queue) Unfinished(ctx context.Context, tx store.Tx) (jobs []store.Job, err error) {
	err = unfinishedOf(backedUp, func(p *river.JobListParams) (*river.JobListResult, error) {
		return q.client.JobListTx(ctx, tx.SQL(), p)
	},
		func(row *rivertype.JobRow) {
			if clubOf(row) == tx.ClubID() && len(row.Tags) == 1 {
				jobs = append(jobs, store.Job{ID: row.Tags[0], Kind: row.Kind, Args: row.EncodedArgs})
			}
		})
	return jobs, q.db.Failure(ctx, err)
}

// Waiting counts the jobs of all clubs that Unfinished lists, and the messages
// to webhooks that are still to be sent.
func (q *Queue) Waiting(ctx context.Context) (jobs, messages int, err error) {
	err = unfinishedOf(append(slices.Clip(backedUp), deliver{}.Kind()),
		func(p *river.JobListParams) (*river.JobListResult, error) { return q.client.JobList(ctx, p) },
		func(row *rivertype.JobRow) {
			if row.Kind == (deliver{}).Kind() {
				messages++
			} else {
				jobs++
			}
		})
	return jobs, messages, q.db.Failure(ctx, err)
}

// backedUp are the kinds of jobs that a backup takes along. Left out are
// messages to webhooks, of which their own table tells, see Send, and what every
// server asks for when it starts.
var backedUp = []string{reassess{}.Kind(), exportArgs{}.Kind(), erase{}.Kind()}

// unfinishedOf hands over the jobs of some kinds that have not ended and were
// not told to stop.
func unfinishedOf(kinds []string, list func(*river.JobListParams) (*river.JobListResult, error), do func(*rivertype.JobRow)) error {
	const page = 1000
	params := river.NewJobListParams().Kinds(kinds...).States(unfinished...).
		OrderBy(river.JobListOrderByID, river.SortOrderAsc).First(page)
	for {
		found, err := list(params)
		if err != nil {
			return err
		}
		for _, row := range found.Jobs {
			if !toldToStop(row) {
				do(row)
			}
		}
		if len(found.Jobs) < page {
			return nil
		}
		params = params.After(found.LastCursor)
	}
}

// Send implements store.Work.
func (q *Queue) Send(ctx context.Context, tx store.Tx) error {
	return q.clubs.ResumeDeliveries(ctx, tx)
}

// Resume implements store.Work. An export has its whole time again to be
// fetched.
func (q *Queue) Resume(ctx context.Context, tx store.Tx, j store.Job) error {
	switch j.Kind {
	case reassess{}.Kind():
		return resume[reassess](ctx, q, tx, j)
	case erase{}.Kind():
		return resume[erase](ctx, q, tx, j)
	case exportArgs{}.Kind():
		var of exportArgs
		if err := json.Unmarshal(j.Args, &of); err != nil {
			return fmt.Errorf("%w: job %s: %w", store.ErrDamaged, j.ID, err)
		}
		expires := store.At(tx.Now().Add(club.KeepExport))
		if err := tx.ExtendExport(ctx, of.Export, expires); errors.Is(err, store.ErrNotFound) {
			return fmt.Errorf("%w: job %s: %w", store.ErrDamaged, j.ID, err)
		} else if err != nil {
			return err
		}
		if err := resume[exportArgs](ctx, q, tx, j); err != nil {
			return err
		}
		return q.expire(ctx, tx, of.Export, expires)
	}
	return fmt.Errorf("%w: a job of the kind %.40q", store.ErrDamaged, j.Kind)
}

// goodID is the form of an id: letters, digits and hyphens, as a UUID has.
var goodID = regexp.MustCompile(`^[A-Za-z0-9-]{1,64}$`)

func resume[T river.JobArgs](ctx context.Context, q *Queue, tx store.Tx, j store.Job) error {
	var args T
	if err := json.Unmarshal(j.Args, &args); err != nil {
		return fmt.Errorf("%w: job %s: %w", store.ErrDamaged, j.ID, err)
	}
	if !goodID.MatchString(j.ID) {
		return fmt.Errorf("%w: a job has the id %.60q", store.ErrDamaged, j.ID)
	}
	if of := clubOf(&rivertype.JobRow{EncodedArgs: j.Args}); of != tx.ClubID() {
		return fmt.Errorf("%w: job %s of another club", store.ErrDamaged, j.ID)
	}
	_, err := q.insertAs(ctx, tx, args, river.InsertOpts{Tags: []string{j.ID}})
	return err
}
