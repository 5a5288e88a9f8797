package measure

import (
	"fmt"
	"math"
	"slices"

	"rootcue/engine/formula"
	"rootcue/engine/place"
	"rootcue/engine/quantity"
	"rootcue/engine/rubric"
	"rootcue/engine/verdict"
)

// HoldsInRep judges a condition of a fault, what it is called before the fault's
// name, on one rep's own values. Arithmetic that leaves the finite numbers is
// kept as a problem, and counts as not seen.
func (s *Sheet) HoldsInRep(p *formula.Program, what, fault string, i int) (holds, seen bool) {
	in := &s.Reps[i].in
	v, seen := p.Eval(in)
	if seen && !finite(v) {
		s.notFinite(fmt.Sprintf("/reps/%d", i), what+fault, p, in)
		return false, false
	}
	return v != 0, seen
}

// CostMeans is what a fault costs, in seconds, on the means over some reps:
// never below 0, with its uncertainty propagated from the base inputs of
// measures, constants and stature. limit is the fault's own, as formulas see it
// (NaN: none). ok is false, and a problem kept, if the result is no finite
// number.
func (s *Sheet) CostMeans(f *rubric.Fault, in []bool, limit float64) (v quantity.Value, seen, ok bool) {
	means := s.loadMeans(f.Reads, in, limit)
	x, seen := f.Costs.Eval(&s.in)
	if !seen {
		return v, false, true
	}
	if !finite(x) {
		s.notFinite("", "the cost of "+f.Name, f.Costs, &s.in)
		return v, false, false
	}
	v.X = math.Max(0, x)
	from := len(s.parts)
	for _, by := range s.meanInputs(f.Reads, means) {
		up := s.evalShifted(f.Costs, means, by, 1)
		down := s.evalShifted(f.Costs, means, by, -1)
		if d := quantity.HalfDifference(math.Max(0, up), v.X, math.Max(0, down)); d != 0 {
			s.parts = append(s.parts, quantity.Part{Input: by, D: d})
		}
	}
	v.Parts = s.parts[from:len(s.parts):len(s.parts)]
	s.shiftMeans(means, -1, 0)
	return v, true, true
}

// readMean is a measure that an expression reads, with its mean.
type readMean struct {
	measure int
	value   quantity.Value
}

// loadMeans fills the inputs with the means of the measures an expression
// reads. A condition that differs between the reps is not seen.
func (s *Sheet) loadMeans(reads []int, in []bool, limit float64) []readMean {
	slots := &s.Rubric.Slots
	if free := s.isFree(in); free && s.inIsFree {
		clear(s.in.Seen[slots.Measure : slots.Measure+len(s.Rubric.Measures)])
		s.in.Seen[slots.Limit] = false
	} else {
		c := s.CommonConditions(in)
		s.load(&s.in, &c)
		s.inIsFree = free
	}
	if !math.IsNaN(limit) {
		set(&s.in, slots.Limit, limit)
	}
	means := s.reading[:0]
	for _, slot := range reads {
		m := slot - slots.Measure
		if m < 0 || m >= len(s.Rubric.Measures) {
			continue
		}
		mean := s.Mean(m, in)
		if mean.Reps == 0 {
			continue
		}
		if s.Rubric.Measures[m].Kind == rubric.YesNo { // the majority; a tie counts as yes
			set(&s.in, slot, one(2*mean.Yes >= mean.Reps))
			continue
		}
		s.setMeasure(&s.in, m, mean.Value, -1, 0)
		means = append(means, readMean{m, mean.Value})
	}
	s.reading = means
	return means
}

// CommonConditions are the conditions that hold in all of some reps; one that
// differs between them is not seen.
func (s *Sheet) CommonConditions(in []bool) rubric.Conditions {
	var c rubric.Conditions
	first := true
	for i := range s.Reps {
		if !in[i] {
			continue
		}
		r := &s.Reps[i].Conditions
		if first {
			c, first = *r, false
			continue
		}
		same := [rubric.ConditionCount]bool{c.BasePath == r.BasePath, c.ThrowTo == r.ThrowTo, c.Ball == r.Ball, c.Stance == r.Stance, c.Pitch == r.Pitch, c.Batter == r.Batter, c.RunnerMayLead == r.RunnerMayLead, c.Thrown == r.Thrown}
		for k := range same {
			c.Seen[k] = c.Seen[k] && r.Seen[k] && same[k]
		}
	}
	return c
}

// meanInputs lists the base inputs behind the values an expression reads.
func (s *Sheet) meanInputs(reads []int, means []readMean) []quantity.Input {
	list := s.inputs[:0]
	for _, m := range means {
		for _, p := range m.value.Parts {
			list = append(list, p.Input)
		}
	}
	for _, slot := range reads {
		if k := slot - s.Rubric.Slots.Constant; k >= 0 && k < len(s.Rubric.Constants) && s.Rubric.Constants[k].U > 0 {
			list = append(list, s.constantInput(k))
		}
		if slot == s.Rubric.Slots.Stature && len(s.Stature.Parts) > 0 {
			list = append(list, quantity.Stature)
		}
	}
	s.inputs = list
	slices.Sort(list)
	return slices.Compact(list)
}

// evalShifted is the value with one input moved by its standard uncertainty
// times sign; NaN if there is none.
func (s *Sheet) evalShifted(p *formula.Program, means []readMean, by quantity.Input, sign float64) float64 {
	s.shiftMeans(means, by, sign)
	v, seen := p.Eval(&s.in)
	s.shiftFixed(&s.in, by, 0)
	if !seen {
		return math.NaN()
	}
	return v
}

func (s *Sheet) shiftMeans(means []readMean, by quantity.Input, sign float64) {
	for _, m := range means {
		s.setMeasure(&s.in, m.measure, m.value, by, sign)
	}
	if by >= 0 {
		s.shiftFixed(&s.in, by, sign)
	}
}

// ChanceMeans is the chance that a condition holds on the means over some reps:
// the share of the fixed draws of its uncertain inputs, taken by name, in which
// it does (JCGM 101). Without uncertain inputs it is evaluated once. It is not
// seen if the outcome is not seen in any draw.
func (s *Sheet) ChanceMeans(p *formula.Program, of string, in []bool) (chance float64, seen, ok bool) {
	means := s.loadMeans(p.Reads(), in, math.NaN())
	return s.chance(p, of, s.uncertain(p, func(m int) (quantity.Value, bool) {
		for _, r := range means {
			if r.measure == m {
				return r.value, true
			}
		}
		return quantity.Value{}, false
	}))
}

// ChanceRep is ChanceMeans on one rep's own values.
func (s *Sheet) ChanceRep(p *formula.Program, of string, i int) (chance float64, seen, ok bool) {
	if _, seen = s.HoldsInRep(p, of, "", i); !seen {
		return 0, false, true
	}
	s.inIsFree = false
	copy(s.in.X, s.Reps[i].in.X)
	copy(s.in.Seen, s.Reps[i].in.Seen)
	return s.chance(p, of, s.uncertain(p, func(m int) (quantity.Value, bool) {
		c := &s.Reps[i].Cells[m]
		return c.Value, c.Seen && s.Rubric.Measures[m].Kind != rubric.YesNo
	}))
}

// A draw is one uncertain input of a condition: its slot, estimate and standard
// uncertainty as formulas see them.
type draw struct {
	name string
	slot int
	x, u float64
}

// uncertain lists the uncertain inputs of a condition by name.
func (s *Sheet) uncertain(p *formula.Program, value func(m int) (quantity.Value, bool)) []draw {
	var list []draw
	slots := &s.Rubric.Slots
	for _, slot := range p.Reads() {
		d := draw{slots.Env.Names[slot].Name, slot, s.in.X[slot], 0}
		switch m, k := slot-slots.Measure, slot-slots.Constant; {
		case m >= 0 && m < len(s.Rubric.Measures):
			if v, ok := value(m); ok {
				d.u = math.Abs(s.Rubric.Measures[m].Unit.InFormulas(v.U()))
			}
		case k >= 0 && k < len(s.Rubric.Constants):
			d.u = s.Rubric.Constants[k].Unit.InFormulas(s.Rubric.Constants[k].U)
		case slot == slots.Stature:
			d.u = s.Stature.U()
		}
		if d.u > 0 {
			list = append(list, d)
		}
	}
	slices.SortFunc(list, func(a, b draw) int {
		if a.name < b.name {
			return -1
		}
		return 1
	})
	return list
}

func (s *Sheet) chance(p *formula.Program, of string, draws []draw) (chance float64, seen, ok bool) {
	n := verdict.Draws
	if len(draws) == 0 {
		n = 1
	}
	defer func() {
		for _, d := range draws {
			s.in.X[d.slot] = d.x
		}
	}()
	held := 0
	for i := range n {
		for d := range draws {
			s.in.X[draws[d].slot] = draws[d].x + draws[d].u*verdict.Normal(d, i)
		}
		v, seen := p.Eval(&s.in)
		if !seen {
			return 0, false, true
		}
		if !finite(v) {
			s.notFinite("", of, p, &s.in)
			return 0, false, false
		}
		if v != 0 {
			held++
		}
	}
	return float64(held) / float64(n), true, true
}

// Problems are the slips that expressions met after Read.
func (s *Sheet) Problems() []place.Problem { return s.problems }
