package club

import (
	"context"

	"rootcue/engine/place"
	"rootcue/engine/workload"
	"rootcue/internal/store"
)

// Reassess asks for every current observation of a rubric to be judged anew by
// the version in force; it gives the job's id. The assessments until now are
// kept beside the new ones.
func (c *Clubs) Reassess(ctx context.Context, a Actor, name string) (job string, err error) {
	if c.Jobs == nil {
		return "", ErrNoJobs
	}
	err = c.write(ctx, a, func(tx store.Tx) error {
		v, err := c.inForce(ctx, tx, name)
		if err != nil {
			return err
		}
		if job, err = c.Jobs.Reassess(ctx, tx, name, v.Document.Version, a.KeyID); err != nil {
			return err
		}
		return logged(ctx, tx, a.KeyID, "rubric.reassessment-asked", "rubric/"+name, map[string]any{"version": v.Document.Version})
	})
	return job, err
}

// Reassessed counts what a re-assessment did.
type Reassessed struct {
	Done    int `json:"done" doc:"Assessments made anew"`
	Kept    int `json:"kept" doc:"Assessments that were of this version, or of the one in force, already"`
	Refused int `json:"refused" doc:"Observations that the version cannot judge; their assessment stays"`
}

// ReassessSome does a part of a re-assessment in one transaction: up to limit
// assessments after a cursor, newest first. It gives where to go on, the zero
// Cursor at the end. To do a part twice changes nothing the second time. What
// the version in force has judged stays, though a job of another comes late.
func (c *Clubs) ReassessSome(ctx context.Context, a Actor, name string, version int, after store.Cursor, limit int) (next store.Cursor, n Reassessed, err error) {
	err = c.write(ctx, a, func(tx store.Tx) error {
		rows, err := tx.Assessments(ctx, store.AssessmentFilter{Rubric: name}, store.Page{After: after, Limit: limit})
		if err != nil || len(rows) == 0 {
			return err
		}
		if len(rows) == limit {
			next = rows[limit-1].Cursor()
		}
		v, err := c.version(ctx, tx, name, version)
		if err != nil {
			return err
		}
		now, err := c.inForce(ctx, tx, name)
		if err != nil {
			return err
		}
		n, err = c.reassess(ctx, tx, a, v, now, rows)
		return err
	})
	return next, n, err
}

func (c *Clubs) reassess(ctx context.Context, tx store.Tx, a Actor, v, now *Version, rows []store.Assessment) (n Reassessed, err error) {
	ids := make([]string, len(rows))
	for i := range rows {
		ids[i] = rows[i].ObservationID
	}
	inputs, err := tx.ObservationsByID(ctx, ids)
	if err != nil {
		return n, err
	}
	var changes []store.Change
	for _, row := range rows {
		if row.RubricVersion == v.Document.Version || row.RubricVersion == now.Document.Version {
			n.Kept++
			continue
		}
		gate, err := c.gateOn(ctx, tx, v, inputs[row.ObservationID])
		if err != nil {
			return n, err
		}
		next, verdicts, slips := v.judgeInput(inputs[row.ObservationID].Input, store.NewID(), gate)
		if len(slips) > 0 {
			n.Refused++
			continue
		}
		next.ObservationID = row.ObservationID
		if next, err = tx.Reassess(ctx, next, verdicts); err != nil {
			return n, err
		}
		n.Done++
		changes = append(changes, store.Change{Who: a.KeyID, What: "assessment.made-anew", Entity: "assessment/" + next.ID})
	}
	return n, tx.AppendChanges(ctx, changes)
}

// judgeInput judges a stored input under a gate.
func (v *Version) judgeInput(input []byte, id string, gate *workload.Gate) (store.Assessment, []store.Verdict, []place.Problem) {
	r, slips := read(input)
	if len(slips) > 0 {
		return store.Assessment{}, nil, slips
	}
	return v.judge(r, id, gate)
}

// A Replay is an assessment made again from what is stored.
type Replay struct {
	Same   bool   // to the byte
	Stored []byte // as it was answered then
	Again  []byte // from the stored version of the rubric and the stored input
}

// Replay makes an assessment, however old, once more from the rubric version
// that judged it and the input it was made from. An engine that gives other
// bytes has changed since.
func (c *Clubs) Replay(ctx context.Context, a Actor, id string) (r Replay, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		row, err := tx.Assessment(ctx, id)
		if err != nil {
			return err
		}
		o, err := tx.Observation(ctx, row.ObservationID)
		if err != nil {
			return err
		}
		v, err := c.version(ctx, tx, row.Rubric, row.RubricVersion)
		if err != nil {
			return err
		}
		gate, err := gateOf(row.Body)
		if err != nil {
			return err
		}
		again, _, slips := v.judgeInput(o.Input, row.ID, gate)
		r = Replay{Stored: row.Body, Again: again.Body}
		r.Same = len(slips) == 0 && string(r.Stored) == string(r.Again)
		return nil
	})
	return r, err
}
