// Package engine judges an observation against a rubric: which faults are
// there, which starts the others, what that costs on the clock, what to work on
// first, what to keep, and which cautions apply. It is pure: no files, no
// clock, no chance; the same input gives the same answer to the byte.
package engine

import (
	"math"
	"sync"

	"rootcue/engine/cause"
	"rootcue/engine/clock"
	"rootcue/engine/measure"
	"rootcue/engine/observation"
	"rootcue/engine/place"
	"rootcue/engine/rubric"
	"rootcue/engine/workload"
)

// A Request is one observation to be judged.
type Request struct {
	Rubric      *rubric.Rubric
	Version     int // of the rubric, from 1
	Observation *observation.Observation
	ID          string         // of the assessment; "" leaves it out
	Gate        *workload.Gate // what the workload rules say on that day; nil: nothing is known of the workload
}

// Assess judges one observation. Slips in the observation that only the rubric
// can show are told all at once, each with its JSON Pointer; the assessment is
// then nil.
func Assess(req Request) (*Assessment, []place.Problem) {
	j, problems := newJudge(req)
	if j == nil {
		return nil, place.Cap(problems)
	}
	defer j.release()
	if problems := j.steps(); len(problems) > 0 {
		return nil, place.Cap(problems)
	}
	return j.document(), nil
}

// judges lends out the memory that judging works in.
var judges = sync.Pool{New: func() any { return new(judge) }}

// newJudge reads the observation; the judge is nil if it has slips. It must be
// released, and nothing of it kept, once its document is written.
func newJudge(req Request) (*judge, []place.Problem) {
	sheet, problems := measure.Read(req.Rubric, req.Observation)
	if sheet == nil {
		return nil, problems
	}
	j := judges.Get().(*judge)
	*j = judge{req: req, r: req.Rubric, s: sheet, work: req.Rubric.Graph.Borrow(), faults: j.faults, parts: j.parts[:0], partOf: j.partOf[:0]}
	return j, nil
}

func (j *judge) release() {
	j.s.Release()
	j.r.Graph.Return(j.work)
	judges.Put(j)
}

// steps works everything out: verdicts, causes, clock, credit, the throw.
func (j *judge) steps() []place.Problem {
	j.judgeFaults()
	j.evidence.Held = j.heldReadings()
	if problems := j.s.Problems(); len(problems) > 0 {
		return problems
	}
	if problem := j.inferCauses(); problem != nil {
		return []place.Problem{*problem}
	}
	j.reconcileClock()
	j.flowCredit()
	j.thrown = j.throw()
	return nil
}

// A judge carries one observation through the steps of Assess.
type judge struct {
	req  Request
	r    *rubric.Rubric
	s    *measure.Sheet
	work *cause.Work

	faults []judged
	notes  []measure.Note

	evidence cause.Evidence
	parts    []clock.Part // of the faults in partOf
	partOf   []int
	fit      clock.Fit
	exchange measure.Mean // the zero Mean without one
	lost     clock.Loss
	thrown   throwSeen

	secs     []float64 // reconciled seconds, by fault
	recovers []float64 // by fault
	carries  []float64 // by edge
	explains []float64 // by fault
	row      []float64 // scratch: what of each part ends at one fault
}

func (j *judge) note(code, says string) {
	j.notes = append(j.notes, measure.Note{Code: code, Says: says})
}

func (j *judge) document() *Assessment {
	a := &Assessment{
		ID:     j.req.ID,
		Rubric: RubricID{j.r.Name, max(1, j.req.Version), j.r.SHA256},
		Player: PlayerSeen{j.req.Observation.Player.Ref, j.r.Bands[j.s.Band].Name, j.s.Age, knownStature(j.s.Stature.X)},
		On:     j.req.Observation.On.String(),
		Reps:   j.countReps(),
	}
	a.Measures = j.measuresSeen()
	a.Findings = j.findings()
	a.Clock = j.clock()
	a.Chains = j.chains()
	a.Keep = j.keep()
	a.Undecided = j.undecided()
	a.LookNext = j.lookNext()
	a.WorkOn = j.workOn()
	j.gate(a)
	j.noteReps(a.Reps)
	a.Notes = append(append([]measure.Note{}, j.s.Notes...), j.notes...)
	return a
}

func knownStature(x float64) Number {
	if x == 0 {
		return unknown
	}
	return Number(x)
}

func (j *judge) countReps() (n int) {
	for _, free := range j.s.Free() {
		if free {
			n++
		}
	}
	return n
}

// isNaN is short for a number that is not there.
func isNaN(x float64) bool { return math.IsNaN(x) }
