package jobs

import (
	"encoding/json"

	"github.com/riverqueue/river/rivertype"

	"rootcue/internal/club"
)

var noJob club.Job

// states are the queue's states in the club's words.
var states = map[rivertype.JobState]string{
	rivertype.JobStateAvailable: club.JobWaiting, rivertype.JobStatePending: club.JobWaiting, rivertype.JobStateRetryable: club.JobWaiting, rivertype.JobStateScheduled: club.JobWaiting,
	rivertype.JobStateRunning: club.JobRunning, rivertype.JobStateCompleted: club.JobDone, rivertype.JobStateDiscarded: club.JobFailed, rivertype.JobStateCancelled: club.JobCancelled,
}

// clubOf is the club a job belongs to; every kind of job names it alike.
func clubOf(row *rivertype.JobRow) string {
	var of struct {
		Club string `json:"club"`
	}
	if json.Unmarshal(row.EncodedArgs, &of) != nil {
		return ""
	}
	return of.Club
}

func jobOf(id string, row *rivertype.JobRow) club.Job {
	j := club.Job{ID: id, Kind: row.Kind, State: states[row.State], Progress: progressOf(row), Attempt: row.Attempt, MadeAt: row.CreatedAt, EndedAt: row.FinalizedAt}
	if len(row.Errors) > 0 && j.State != club.JobCancelled { // who cancelled it knows why
		j.Problem = "it failed; the server's log says more" // the error's own text is the operator's
	}
	return j
}

// toldToStop tells whether a job is to be cancelled as soon as it gives way.
func toldToStop(row *rivertype.JobRow) bool {
	var of struct {
		Told *string `json:"cancel_attempted_at"`
	}
	return json.Unmarshal(row.Metadata, &of) == nil && of.Told != nil
}

// kept is what a job has done, as it is kept with it.
type kept struct {
	club.Progress
	On string `json:"on,omitempty"` // where it goes on
	ID string `json:"id,omitempty"`
}

func progressOf(row *rivertype.JobRow) club.Progress {
	var k kept
	if b := row.Output(); len(b) == 0 || json.Unmarshal(b, &k) != nil {
		return club.Progress{}
	}
	k.After.On, k.After.ID = k.On, k.ID
	return k.Progress
}

func keptOf(p club.Progress) kept { return kept{p, p.After.On, p.After.ID} }

// waits is how often a job was put off, which is how often a receiver did not
// take its message.
func waits(row *rivertype.JobRow) int {
	var of struct {
		Snoozes int `json:"snoozes"`
	}
	if json.Unmarshal(row.Metadata, &of) != nil {
		return 0
	}
	return of.Snoozes
}
