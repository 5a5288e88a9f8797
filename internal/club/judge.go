package club

import (
	"reflect"

	"rootcue/engine"
	"rootcue/engine/place"
	"rootcue/engine/workload"
	"rootcue/internal/store"
)

// A judgment is what the engine made of a document.
type judgment struct {
	of         *reading
	by         *Version
	under      *workload.Gate
	assessment store.Assessment
	verdicts   []store.Verdict
	throws     int             // reps in which the ball was let go
	wrong      []place.Problem // why it could not be judged
}

// judgeAll assesses, several at once, the parts that are kept.
func judgeAll(parts []*part) { inParallel(len(parts), func(i int) { parts[i].judge() }) }

// judge assesses a part that is kept, unless that was done already: the same
// document, version and gate give the same assessment.
func (p *part) judge() {
	if !p.kept() {
		return
	}
	if j := &p.judgment; j.of != p.r || j.by != p.version || !reflect.DeepEqual(j.under, p.gate) {
		*j = judgment{of: p.r, by: p.version, under: p.gate}
		if j.assessment, j.verdicts, j.wrong = p.version.judge(p.r, store.NewID(), p.gate); len(j.wrong) == 0 {
			j.throws = thrown(p.version.Rubric, p.r.Observation)
		}
	}
	if len(p.wrong) > 0 {
		p.refuse(p.wrong...)
		return
	}
	p.id, p.assessed = store.NewID(), p.assessment.ID
}

// judge assesses a document by this version of the rubric.
func (v *Version) judge(r *reading, id string, gate *workload.Gate) (store.Assessment, []store.Verdict, []place.Problem) {
	a, slips := engine.Assess(engine.Request{Rubric: v.Rubric, Version: v.Document.Version, Observation: r.Observation, Gate: gate, ID: id})
	if len(slips) > 0 {
		return store.Assessment{}, nil, slips
	}
	body, err := a.JSON()
	if err != nil {
		return store.Assessment{}, nil, []place.Problem{{Code: "no-answer", Found: "an answer that cannot be written: " + err.Error(), Wanted: "a number in reach"}}
	}
	row := store.Assessment{ID: id, RubricVersion: v.Document.Version, Measures: measuresOf(a), Body: body}
	return row, verdictsOf(a), nil
}
