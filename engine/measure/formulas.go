package measure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rootcue/engine/formula"
	"rootcue/engine/quantity"
)

// deriveFormulas evaluates the rubric's formulas in one rep, and carries the
// uncertainty of the base inputs through the whole chain (JCGM 100 5.1.2, with
// c_i u_i = [f(x_i+u_i) − f(x_i−u_i)]/2, 5.1.3 note 2). A stated value of a
// derived measure stands.
func (s *Sheet) deriveFormulas(i int, rep *Rep) {
	s.loadRep(&rep.in, rep, -1, 0)
	var derived []int
	for _, m := range s.Rubric.Formulas {
		if rep.Cells[m].Seen {
			continue
		}
		v, seen := s.evalInto(&rep.in, m)
		if !seen {
			continue
		}
		if !finite(v) {
			s.notFinite(fmt.Sprintf("/reps/%d", i), "the measure "+s.Rubric.Measures[m].Name, s.Rubric.Measures[m].Formula, &rep.in)
			return
		}
		rep.Cells[m] = Cell{Seen: true, From: "formula", Value: quantity.Value{X: s.Rubric.Measures[m].Unit.FromFormulas(v)}}
		derived = append(derived, m)
	}
	if derived != nil {
		s.propagate(rep, derived)
		s.checkDerived(i, rep, derived)
	}
}

// evalInto evaluates a formula measure and writes the result into its slot.
func (s *Sheet) evalInto(in *formula.Inputs, m int) (float64, bool) {
	v, seen := s.Rubric.Measures[m].Formula.Eval(in)
	slot := s.Rubric.Slots.Measure + m
	in.X[slot], in.Seen[slot] = v, seen
	return v, seen
}

// propagate fills the parts of the derived measures, one base input at a time.
func (s *Sheet) propagate(rep *Rep, derived []int) {
	for _, in := range s.baseInputs(rep, derived) {
		s.up = s.shifted(s.up[:0], rep, derived, in, 1)
		s.down = s.shifted(s.down[:0], rep, derived, in, -1)
		for k, m := range derived {
			unit := s.Rubric.Measures[m].Unit
			if d := quantity.HalfDifference(unit.FromFormulas(s.up[k]), rep.Cells[m].Value.X, unit.FromFormulas(s.down[k])); d != 0 {
				rep.Cells[m].Value.Parts = append(rep.Cells[m].Value.Parts, quantity.Part{Input: in, D: d})
			}
		}
	}
}

// shifted evaluates the derived measures with one input moved by its standard
// uncertainty times sign; NaN where there is no value.
func (s *Sheet) shifted(out []float64, rep *Rep, derived []int, by quantity.Input, sign float64) []float64 {
	s.loadRep(&s.in, rep, by, sign)
	for _, m := range derived {
		v, seen := s.evalInto(&s.in, m)
		if !seen {
			v = math.NaN()
		}
		out = append(out, v)
	}
	return out
}

// loadRep fills the formula inputs with one rep's base values, all of them
// moved by their part from one input.
func (s *Sheet) loadRep(in *formula.Inputs, rep *Rep, by quantity.Input, sign float64) {
	s.load(in, &rep.Conditions)
	s.shiftFixed(in, by, sign)
	for m := range rep.Cells {
		if c := &rep.Cells[m]; c.Seen && c.From != "formula" {
			s.setMeasure(in, m, c.Value, by, sign)
		}
	}
}

// shiftFixed moves what is no measure: the stature and the constants.
func (s *Sheet) shiftFixed(in *formula.Inputs, by quantity.Input, sign float64) {
	if by == quantity.Stature && s.Stature.X > 0 {
		set(in, s.Rubric.Slots.Stature, s.Stature.X+sign*s.Stature.D(by))
	}
	if k := int(by - s.constantInput(0)); k >= 0 && k < len(s.Rubric.Constants) {
		c := &s.Rubric.Constants[k]
		set(in, s.Rubric.Slots.Constant+k, c.Unit.InFormulas(c.ByBand[s.Band]+sign*c.U))
	}
}

// baseInputs lists, in order, the inputs that the derived measures can depend
// on: those of the base measures they read, through other formulas too.
func (s *Sheet) baseInputs(rep *Rep, derived []int) (list []quantity.Input) {
	slots := &s.Rubric.Slots
	for _, m := range derived {
		for _, slot := range s.Rubric.Measures[m].Formula.Reads() {
			switch {
			case slot == slots.Stature:
				list = append(list, quantity.Stature)
			case slot >= slots.Constant && slot < slots.Constant+len(s.Rubric.Constants):
				if k := slot - slots.Constant; s.Rubric.Constants[k].U > 0 {
					list = append(list, s.constantInput(k))
				}
			case slot >= slots.Measure && slot < slots.Measure+len(rep.Cells):
				for _, p := range rep.Cells[slot-slots.Measure].Value.Parts {
					list = append(list, p.Input)
				}
			}
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

func (s *Sheet) checkDerived(i int, rep *Rep, derived []int) {
	for _, m := range derived {
		want, x := &s.Rubric.Measures[m], rep.Cells[m].Value.X
		if want.HasRange && (x < want.Plausible[0] || x > want.Plausible[1]) {
			s.problem("implausible", fmt.Sprintf("/reps/%d", i), fmt.Sprintf("%s = %s by its formula %s", want.Name, withUnit(fmt.Sprintf("%.4g", x), want.Unit), want.Formula.Source()),
				plausible(want), "check what the formula reads")
		}
	}
}

// notFinite reports arithmetic that left the finite numbers, with its inputs.
func (s *Sheet) notFinite(pointer, of string, p *formula.Program, in *formula.Inputs) {
	var b strings.Builder
	for _, slot := range p.Reads() {
		if in.Seen[slot] {
			fmt.Fprintf(&b, " %s = %.6g", s.Rubric.Slots.Env.Names[slot].Name, in.X[slot])
		}
	}
	s.problem("not-finite", pointer, fmt.Sprintf("%s: %s gives no finite number with%s", of, p.Source(), b.String()), "a finite number", "change the expression in the rubric so that it cannot divide by zero or take the root of a negative number")
}
