package engine

import (
	"fmt"
	"slices"

	"rootcue/engine/rubric"
	"rootcue/engine/verdict"
)

func (j *judge) measuresSeen() MeasuresSeen {
	list := MeasuresSeen{}
	for m := range j.r.Measures {
		mean := j.s.Mean(m, j.s.Free())
		if mean.Reps > 0 {
			list = append(list, NamedMeasure{j.r.Measures[m].Name, MeasureSeen{Number(mean.Value.X), Number(mean.Value.U()), unitName(&j.r.Measures[m]), mean.Reps, mean.From}})
		}
	}
	return list
}

// unitName is the unit a measure is shown in; a yes-no measure is a share of
// yes and a grade a number on its scale, both pure.
func unitName(m *rubric.Measure) string {
	if m.Kind == rubric.Quantity {
		return m.Unit.Name
	}
	return "1"
}

func (j *judge) findings() []Finding {
	list := make([]Finding, len(j.faults))
	context := j.work.InContext()
	for i := range j.faults {
		list[i] = j.finding(i, context[i])
	}
	return list
}

func (j *judge) finding(i int, context float64) Finding {
	f, r := &j.faults[i], &j.r.Faults[i]
	out := Finding{Fault: r.Name, Title: r.Title, Verdict: f.verdict, InContext: Number(context),
		PastBy: unknown, CostsS: unknown, UCostsS: unknown, Why: j.why(f, r)}
	if r.When == nil && r.Limit.AppliesTo(j.s.Band) {
		out.Limit = limitOf(&r.Limit, j.s.Band)
	}
	if f.verdict == verdict.NotApplicable {
		out.InContext = 0
	}
	if !f.seen() {
		return out
	}
	chance, reps := Number(f.chance), fmt.Sprintf("%d/%d", f.past, f.of)
	out.Chance, out.InReps = &chance, &reps
	if r.When == nil && r.Limit.Kind != rubric.MustBe {
		out.PastBy = Number(pastBy(&r.Limit, j.s.Band, f.mean.Value.X))
	}
	if f.costed {
		out.CostsS, out.UCostsS = Number(f.cost.X), Number(f.cost.U())
	}
	return out
}

func limitOf(l *rubric.Limit, band int) Limit {
	switch l.Kind {
	case rubric.AtMost:
		hi := Number(l.Hi[band])
		return Limit{AtMost: &hi}
	case rubric.AtLeast:
		lo := Number(l.Lo[band])
		return Limit{AtLeast: &lo}
	case rubric.Between:
		return Limit{Between: &[2]Number{Number(l.Lo[band]), Number(l.Hi[band])}}
	}
	return Limit{MustBe: &l.MustBe}
}

func (j *judge) why(f *judged, r *rubric.Fault) Why {
	return Why{Rule: r.Rules[j.s.Band], Line: r.Line, Source: sourceOf(r), Band: j.r.Bands[j.s.Band].Name, Reads: j.reads(f, r), Clips: j.clips(f, r)}
}

// reads lists the measures and constants a rule read, with uncertainty.
func (j *judge) reads(f *judged, r *rubric.Fault) Reads {
	list := make(Reads, 0, len(r.Measures)+len(r.Constants))
	for _, m := range r.Measures {
		if mean := j.s.Mean(m, f.in); mean.Reps > 0 {
			list = append(list, Read{j.r.Measures[m].Name, Number(mean.Value.X), Number(mean.Value.U()), unitName(&j.r.Measures[m])})
		}
	}
	for _, k := range r.Constants {
		c := &j.r.Constants[k]
		list = append(list, Read{c.Name, Number(c.ByBand[j.s.Band]), Number(c.U), c.Unit.Name})
	}
	return list
}

// clips are the club's pointers to the footage a finding was read from.
func (j *judge) clips(f *judged, r *rubric.Fault) []string {
	list := []string{}
	for i := range j.s.Reps {
		if clip := j.s.Reps[i].Clip; clip != "" && !slices.Contains(list, clip) && j.anySeen(i, r, f.in) {
			list = append(list, clip)
		}
	}
	return list
}

func (j *judge) anySeen(i int, r *rubric.Fault, in []bool) bool {
	for _, m := range r.Measures {
		if j.s.Counted(i, m, in) != nil {
			return true
		}
	}
	return false
}

// fewReps is the number of reps under which an assessment says little.
const fewReps = 4

func (j *judge) noteReps(reps int) {
	if reps < fewReps {
		j.note("few-reps", fmt.Sprintf("%d reps count. The same thrower's times differ widely from throw to throw; fewer than %d say little.", reps, fewReps))
	}
	for i := range j.faults {
		f := &j.faults[i]
		if (f.verdict == verdict.Fault || f.verdict == verdict.Close) && f.of > 1 && 10*f.past >= 3*f.of && 10*f.past <= 7*f.of {
			j.note("sometimes", fmt.Sprintf("%s: in %d of %d reps, so it comes and goes.", j.r.Faults[i].Title, f.past, f.of))
		}
	}
}

// sourceOf is where a rule's numbers come from: the limit's own source, else
// the fault's.
func sourceOf(r *rubric.Fault) string {
	if r.Limit.Source != "" {
		return r.Limit.Source
	}
	return r.Source
}
