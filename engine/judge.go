package engine

import (
	"fmt"
	"math"
	"slices"

	"rootcue/engine/measure"
	"rootcue/engine/quantity"
	"rootcue/engine/rubric"
	"rootcue/engine/verdict"
)

// judged is one fault with what was found of it.
type judged struct {
	verdict verdict.Verdict
	chance  float64 // of its own measure; NaN when not seen or not applicable
	in      []bool  // reps its condition lets in
	mean    measure.Mean
	past    int // reps past the limit
	of      int // reps judged
	cost    quantity.Value
	costed  bool // it has a cost, and all the cost reads was seen
}

func (f *judged) seen() bool { return !isNaN(f.chance) }

func (j *judge) judgeFaults() {
	j.faults = slices.Grow(j.faults[:0], len(j.r.Faults))[:len(j.r.Faults)]
	for i := range j.r.Faults {
		j.faults[i] = j.judgeFault(&j.r.Faults[i])
	}
}

func (j *judge) judgeFault(f *rubric.Fault) judged {
	out := judged{chance: math.NaN()}
	if out.in, out.verdict = j.applies(f); out.verdict != "" {
		return out
	}
	if f.When != nil {
		j.judgeWhen(f, &out)
	} else {
		j.judgeLimit(f, &out)
	}
	if out.verdict != "" {
		return out
	}
	out.verdict = verdict.Of(out.chance, j.r.FaultAt, j.r.SoundAt)
	j.costs(f, &out)
	return out
}

// applies finds the free reps that a fault's condition lets in. The verdict is
// set when there are none: not applicable if the band has no limit or the
// condition is surely false in all of them, not seen if it could not be told or
// no rep is free.
func (j *judge) applies(f *rubric.Fault) (in []bool, none verdict.Verdict) {
	free := j.s.Free()
	if f.When == nil && !f.Limit.AppliesTo(j.s.Band) {
		return free, verdict.NotApplicable
	}
	if f.OnlyIf == nil {
		if j.countReps() == 0 {
			return free, verdict.NotSeen
		}
		return free, ""
	}
	if first := slices.Index(free, true); first >= 0 && j.s.Alike() {
		if none = noneUnless(j.s.HoldsInRep(f.OnlyIf, "only_if of ", f.Name, first)); none == "" {
			return free, ""
		}
		return make([]bool, len(free)), none
	}
	return j.letsIn(f)
}

// letsIn asks a fault's condition of each free rep.
func (j *judge) letsIn(f *rubric.Fault) (in []bool, none verdict.Verdict) {
	free := j.s.Free()
	in, none = make([]bool, len(free)), verdict.NotSeen
	told := false
	for i := range free {
		if !free[i] {
			continue
		}
		here := noneUnless(j.s.HoldsInRep(f.OnlyIf, "only_if of ", f.Name, i))
		in[i] = here == ""
		if !told || none != "" && here != verdict.NotApplicable {
			none, told = here, true
		}
	}
	return in, none
}

// noneUnless is the verdict where a condition does not surely hold.
func noneUnless(holds, seen bool) verdict.Verdict {
	switch {
	case !seen:
		return verdict.NotSeen
	case !holds:
		return verdict.NotApplicable
	}
	return ""
}

func (j *judge) judgeLimit(f *rubric.Fault, out *judged) {
	out.mean = j.s.Mean(f.Measure, out.in)
	if out.mean.Reps == 0 {
		out.verdict = verdict.NotSeen
		return
	}
	for i := range j.s.Reps {
		if cell := j.s.Counted(i, f.Measure, out.in); cell != nil {
			out.of++
			if pastBy(&f.Limit, j.s.Band, cell.Value.X) > 0 {
				out.past++
			}
		}
	}
	out.chance = chanceOf(&f.Limit, j.s.Band, out.mean.Value.X, out.mean.Value.U(), out.past, out.of)
}

// chanceOf is the chance that a limit is broken: from y ± u for a quantity or
// a grade, from k wrong of n for a yes-no measure.
func chanceOf(l *rubric.Limit, band int, y, u float64, k, n int) float64 {
	switch l.Kind {
	case rubric.AtMost:
		return verdict.Above(y, u, l.Hi[band])
	case rubric.AtLeast:
		return verdict.Below(y, u, l.Lo[band])
	case rubric.Between:
		return verdict.Outside(y, u, l.Lo[band], l.Hi[band])
	}
	return verdict.MostlyWrong(k, n)
}

// pastBy is how far a value lies past a limit, in the measure's unit: negative
// inside. For a yes-no measure it is 1 when wrong, −1 when right.
func pastBy(l *rubric.Limit, band int, y float64) float64 {
	switch l.Kind {
	case rubric.AtMost:
		return y - l.Hi[band]
	case rubric.AtLeast:
		return l.Lo[band] - y
	case rubric.Between:
		return math.Max(l.Lo[band]-y, y-l.Hi[band])
	}
	if (y == 1) == l.MustBe {
		return -1
	}
	return 1
}

func (j *judge) judgeWhen(f *rubric.Fault, out *judged) {
	chance, seen, ok := j.s.ChanceMeans(f.When, "the condition of "+f.Name, out.in)
	if !seen || !ok {
		out.verdict = verdict.NotSeen
		return
	}
	out.chance = chance
	for i := range j.s.Reps {
		if !out.in[i] {
			continue
		}
		if holds, seen := j.s.HoldsInRep(f.When, "the condition of ", f.Name, i); seen {
			out.of++
			if holds {
				out.past++
			}
		}
	}
}

// costs works out what the fault costs if it is there.
func (j *judge) costs(f *rubric.Fault, out *judged) {
	if f.Costs == nil {
		return
	}
	cost, seen, _ := j.s.CostMeans(f, out.in, j.limitInFormulas(f, out))
	if !seen {
		j.note("cost-input-not-seen", fmt.Sprintf("What %s costs could not be told: something its cost reads was not seen.", f.Name))
		return
	}
	out.cost, out.costed = cost, true
}

// limitInFormulas is the fault's own limit as formulas see it, the nearer end
// of between; NaN for a condition or a yes-no limit.
func (j *judge) limitInFormulas(f *rubric.Fault, out *judged) float64 {
	if f.When != nil || f.Limit.Kind == rubric.MustBe {
		return math.NaN()
	}
	return j.r.Measures[f.Measure].Unit.InFormulas(nearEnd(&f.Limit, j.s.Band, out.mean.Value.X))
}

func nearEnd(l *rubric.Limit, band int, y float64) float64 {
	switch l.Kind {
	case rubric.AtMost:
		return l.Hi[band]
	case rubric.AtLeast:
		return l.Lo[band]
	}
	if y-l.Lo[band] < l.Hi[band]-y {
		return l.Lo[band]
	}
	return l.Hi[band]
}
