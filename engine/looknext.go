package engine

import (
	"fmt"
	"math"
	"slices"

	"rootcue/engine/cause"
	"rootcue/engine/verdict"
)

// lookNext lists what to look at next time: faults not seen that the rest of
// the picture suggests, the most telling first, then faults that their
// neighbours speak against.
func (j *judge) lookNext() []LookNext {
	type suspect struct {
		fault  int
		worth  float64
		reason string
	}
	var list []suspect
	context := j.work.InContext()
	for f := range j.faults {
		switch {
		case j.faults[f].verdict == verdict.NotSeen && context[f] >= likely:
			list = append(list, suspect{f, 0, "Not seen, but the rest of the picture suggests it"})
		case j.contextDisagrees(f):
			j.note("context-disagrees", fmt.Sprintf("%s: its own measure says fault (%.0f %%), what goes with it says otherwise (%.0f %%). Look again before working on it.", j.r.Faults[f].Title, 100*j.faults[f].chance, 100*context[f]))
			list = append(list, suspect{f, 0, "Seen, but what goes with it speaks against it"})
		}
	}
	for i := range list { // one suspect needs no order
		if len(list) > 1 {
			list[i].worth = j.worth(list[i].fault)
		}
	}
	slices.SortStableFunc(list, func(a, b suspect) int { return descending(a.worth, b.worth) })
	out := []LookNext{}
	for _, s := range list {
		measure, title := j.measureOf(s.fault)
		out = append(out, LookNext{j.r.Faults[s.fault].Name, measure, Number(context[s.fault]), fmt.Sprintf("%s (chance %.0f %%). Look at: %s.", s.reason, 100*context[s.fault], title)})
	}
	return out
}

// measureOf is the measure that shows a fault: its own, or the first that its
// condition reads.
func (j *judge) measureOf(f int) (name, title string) {
	if len(j.r.Faults[f].Measures) == 0 {
		return "", j.r.Faults[f].Title
	}
	m := j.r.Faults[f].Measures[0]
	return j.r.Measures[m].Name, j.r.Measures[m].Title
}

// worth is how much looking would tell: p(1−p)·Σ|recovers if present − if
// absent|.
func (j *judge) worth(f int) float64 {
	p := j.work.InContext()[f]
	w := j.r.Graph.Borrow()
	defer j.r.Graph.Return(w)
	present, absent := j.recoversIf(w, f, 1), j.recoversIf(w, f, -1)
	sum := 0.0
	for i := range present {
		sum += math.Abs(present[i] - absent[i])
	}
	return p * (1 - p) * sum
}

func (j *judge) recoversIf(w *cause.Work, f int, hard int8) []float64 {
	j.evidence.Hard[f] = hard
	defer func() { j.evidence.Hard[f] = 0 }()
	out := make([]float64, len(j.faults))
	if w.Infer(&j.evidence) == nil {
		w.Credit(j.secs, out, make([]float64, len(j.carries)))
	}
	return out
}
