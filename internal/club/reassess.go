package club

import (
	"context"
	"time"

	"rootcue/engine/place"
	"rootcue/engine/workload"
	"rootcue/internal/store"
)

// Reassess asks for every current observation of a rubric to be judged anew by
// the version in force; it gives the job's id. The assessments until now are
// kept beside the new ones. While such a job waits or runs, to ask once more gives
// that one's id.
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

// partTime is about how long a part of a re-assessment may hold what others want
// to write.
const partTime = 200 * time.Millisecond

// ReassessSome does a part of a re-assessment in one transaction: up to limit
// assessments after what is done, newest first, or as many as there is time for.
// It gives what is done now, which at the end goes on at the zero Cursor. To do a
// part twice changes nothing the second time. A version that is in force no
// longer judges nothing any more: it would undo what the one in force has judged.
func (c *Clubs) ReassessSome(ctx context.Context, a Actor, name string, version int, p Progress, limit int) (Progress, error) {
	after := p.After
	p.After = store.Cursor{}
	err := c.write(ctx, a, func(tx store.Tx) error {
		v, err := c.inForce(ctx, tx, name)
		if err != nil {
			return err
		}
		if v.Document.Version != version {
			p.Overtaken = v.Document.Version
			return nil
		}
		rows, err := tx.Assessments(ctx, store.AssessmentFilter{Rubric: name}, store.Page{After: after, Limit: limit})
		if err != nil || len(rows) == 0 {
			return err
		}
		reached, err := c.reassess(ctx, tx, a, v, rows, &p)
		if err == nil && (reached == limit || reached < len(rows)) {
			p.After = rows[reached-1].Cursor()
		}
		return err
	})
	return p, err
}

// reassess judges rows by a version and gives how many it got to, one at least.
func (c *Clubs) reassess(ctx context.Context, tx store.Tx, a Actor, v *Version, rows []store.Assessment, p *Progress) (reached int, err error) {
	parts, err := c.readAgain(ctx, tx, v, rows)
	if err != nil {
		return 0, err
	}
	var changes []store.Change
	for start := time.Now(); reached < len(rows) && (reached == 0 || time.Since(start) < partTime); reached++ {
		part := parts[reached]
		switch part.status {
		case Same:
			p.Kept++
			continue
		case Refused:
			p.Refused++
			continue
		}
		next, verdicts, slips := v.judge(part.r, store.NewID(), part.gate)
		if len(slips) > 0 {
			p.Refused++
			continue
		}
		next.ObservationID = part.id
		if next, err = tx.Reassess(ctx, next, verdicts); err != nil {
			return reached, err
		}
		p.Done++
		changes = append(changes, store.Change{Who: a.KeyID, What: "assessment.made-anew", Entity: "assessment/" + next.ID})
	}
	return reached, tx.AppendChanges(ctx, changes)
}

// readAgain reads the observations of assessments as parts that are to be
// stored, each with what the arm's record says on its day. Those that the
// version has judged are the same.
func (c *Clubs) readAgain(ctx context.Context, tx store.Tx, v *Version, rows []store.Assessment) ([]*part, error) {
	parts, ids := make([]*part, len(rows)), make([]string, len(rows))
	for i := range rows {
		ids[i] = rows[i].ObservationID
	}
	inputs, err := tx.ObservationsByID(ctx, ids)
	if err != nil {
		return nil, err
	}
	for i, row := range rows {
		p := &part{fate: fate{id: row.ObservationID, status: Stored, version: v}}
		parts[i] = p
		if row.RubricVersion == v.Document.Version {
			p.status = Same
			continue
		}
		var slips []place.Problem
		if p.r, slips = read(inputs[row.ObservationID].Input); len(slips) > 0 {
			p.refuse(slips...)
		}
	}
	return parts, c.gateParts(ctx, tx, parts)
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
