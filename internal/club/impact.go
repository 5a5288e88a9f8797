package club

import (
	"context"
	"errors"

	"rootcue/engine"
	"rootcue/engine/place"
	"rootcue/engine/rubric"
	"rootcue/internal/store"
)

// An Impact is what a rubric would change in what is stored, if it were
// published.
type Impact struct {
	Assessments int             `json:"assessments" doc:"Stored assessments looked at: the current ones of the rubric"`
	Changed     int             `json:"changed" doc:"How many would come out differently"`
	Refused     int             `json:"refused" doc:"How many observations the new rubric could not judge, such as for a measure it lacks"`
	Faults      []FaultImpact   `json:"faults" doc:"Faults whose verdict would change, in the order of first appearance"`
	Examples    []Change        `json:"examples" doc:"The first 100 assessments that would change, newest first"`
	Problems    []place.Problem `json:"-"` // examples of the rubric that fail, and warnings
}

// A FaultImpact counts the verdicts of one fault that would change.
type FaultImpact struct {
	Fault string `json:"fault" doc:"The fault's name"`
	Old   string `json:"old" doc:"The verdict now; empty: the fault is new"`
	New   string `json:"new" doc:"The verdict then; empty: the fault is gone"`
	Count int    `json:"count" doc:"In how many assessments"`
}

// A Change is one assessment that would change.
type Change struct {
	Assessment string `json:"assessment" doc:"Its id"`
	engine.Difference
}

// mostExamples bounds the changes that are told one by one.
const mostExamples = 100

// pageOf is how many assessments are judged between two reports of progress.
const pageOf = 200

// Impact judges every current observation of a rubric by a file that is not
// published, and says what would change. progress is told how many are done;
// nothing is kept.
func (c *Clubs) Impact(ctx context.Context, a Actor, name string, src []byte, progress func(done int) error) (*Impact, error) {
	out := &Impact{Faults: []FaultImpact{}, Examples: []Change{}}
	r, err := c.candidate(ctx, a, name, src, out)
	if err != nil {
		return nil, err
	}
	after := store.Cursor{}
	for {
		n := 0
		err := c.view(ctx, a, func(tx store.Tx) error {
			rows, err := tx.Assessments(ctx, store.AssessmentFilter{Rubric: name}, store.Page{After: after, Limit: pageOf})
			if n = len(rows); n == 0 || err != nil {
				return err
			}
			after = rows[n-1].Cursor()
			return c.weigh(ctx, tx, rows, r, out)
		})
		if err == nil && n > 0 {
			err = progress(out.Assessments)
		}
		if err != nil || n < pageOf {
			return out, err
		}
	}
}

// candidate compiles a file that is not published.
func (c *Clubs) candidate(ctx context.Context, a Actor, name string, src []byte, out *Impact) (r *rubric.Rubric, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		if _, err := tx.ActiveDocument(ctx, store.KindRubric, name); err != nil {
			return err
		}
		today, err := todayOf(ctx, tx)
		if err != nil {
			return err
		}
		if r, _, out.Problems = engine.CheckRubric(name+".yaml", src, basesOn(ctx, tx, today, map[string]bool{})); r == nil {
			return &Refusal{out.Problems}
		}
		return nil
	})
	return r, err
}

// weigh judges the observations of some assessments by both rubrics.
func (c *Clubs) weigh(ctx context.Context, tx store.Tx, rows []store.Assessment, r *rubric.Rubric, out *Impact) error {
	pairs, err := c.rejudge(ctx, tx, rows, r)
	if err != nil {
		return err
	}
	for i, p := range pairs {
		out.Assessments++
		if p.late == nil {
			out.Refused++
			continue
		}
		d := engine.Compare(p.old, p.late)
		if !d.Changed() {
			continue
		}
		out.Changed++
		for _, f := range d.Findings {
			out.count(f)
		}
		if len(out.Examples) < mostExamples {
			out.Examples = append(out.Examples, Change{rows[i].ID, d})
		}
	}
	return nil
}

func (im *Impact) count(f engine.FindingChange) {
	for i := range im.Faults {
		if is := &im.Faults[i]; is.Fault == f.Fault && is.Old == f.Old && is.New == f.New {
			is.Count++
			return
		}
	}
	im.Faults = append(im.Faults, FaultImpact{f.Fault, f.Old, f.New, 1})
}

// A rejudged is one observation judged by two rubrics; late is nil where the
// second could not.
type rejudged struct {
	old, late *engine.Outcome
	err       error
}

// rejudge judges the observations of assessments by the version they were
// judged by and by another rubric.
func (c *Clubs) rejudge(ctx context.Context, tx store.Tx, rows []store.Assessment, by *rubric.Rubric) ([]rejudged, error) {
	ids, versions := make([]string, len(rows)), make([]*Version, len(rows))
	for i, row := range rows {
		ids[i] = row.ObservationID
		v, err := c.version(ctx, tx, row.Rubric, row.RubricVersion)
		if err != nil {
			return nil, err
		}
		versions[i] = v
	}
	inputs, err := tx.ObservationsByID(ctx, ids)
	if err != nil {
		return nil, err
	}
	pairs := make([]rejudged, len(rows))
	inParallel(len(rows), func(i int) {
		p := &pairs[i]
		doc, slips := read(inputs[rows[i].ObservationID].Input)
		if len(slips) == 0 {
			p.old, slips = engine.OutcomeOf(versions[i].Rubric, doc.Observation)
		}
		if len(slips) > 0 {
			p.err = &Refusal{slips}
			return
		}
		p.late, _ = engine.OutcomeOf(by, doc.Observation)
	})
	for _, p := range pairs {
		err = errors.Join(err, p.err)
	}
	return pairs, err
}
