package measure

import (
	"fmt"
	"strings"

	"rootcue/engine/observation"
	"rootcue/engine/quantity"
	"rootcue/engine/rubric"
	"rootcue/engine/unit"
)

var escape = strings.NewReplacer("~", "~0", "/", "~1")

// readStated takes reading k of rep i into its cell.
func (s *Sheet) readStated(i, k int, rep *Rep, from *observation.Reading) {
	m := s.measureNamed(k, from.Measure)
	if m < 0 {
		s.problem("unknown-measure", s.pointer(i, from), fmt.Sprintf("%q", from.Measure), "a measure of the rubric "+s.Rubric.Name, didYouMean(from.Measure, s.measureNames()))
		return
	}
	if want := &s.Rubric.Measures[m]; want.Kind == rubric.YesNo {
		s.readYesNo(i, &rep.Cells[m], from)
	} else {
		s.readNumber(i, m, &rep.Cells[m], from)
	}
}

// measureNamed finds a measure. Reps mostly state the same measures in the same
// order, so the one found at that place before is tried first.
func (s *Sheet) measureNamed(k int, name string) int {
	if k < len(s.order) && s.order[k] >= 0 && s.Rubric.Measures[s.order[k]].Name == name {
		return s.order[k]
	}
	m := s.Rubric.MeasureNamed(name)
	if k < len(s.order) {
		s.order[k] = m
	} else {
		s.order = append(s.order, m)
	}
	return m
}

func (s *Sheet) pointer(i int, from *observation.Reading) string {
	return fmt.Sprintf("/reps/%d/measures/%s", i, escape.Replace(from.Measure))
}

func (s *Sheet) measureNames() []string {
	names := make([]string, len(s.Rubric.Measures))
	for i := range names {
		names[i] = s.Rubric.Measures[i].Name
	}
	return names
}

func (s *Sheet) readYesNo(i int, cell *Cell, from *observation.Reading) {
	if !from.YesNo {
		s.problem("wrong-type", s.pointer(i, from), fmt.Sprintf("the number %g", from.X), "true or false", "")
		return
	}
	*cell = Cell{Seen: true, From: "measures"}
	if from.Yes {
		cell.Value.X = 1
	}
}

// readNumber converts a stated quantity to the measure's unit. A stated u is
// the reading's own; without one the rubric's u stands, shared by all reps
// (the same eye misreads alike).
func (s *Sheet) readNumber(i, m int, cell *Cell, from *observation.Reading) {
	want := &s.Rubric.Measures[m]
	if from.YesNo {
		s.problem("wrong-type", s.pointer(i, from), fmt.Sprintf("%t", from.Yes), aNumber(want.Unit), "")
		return
	}
	x, u, have, through := from.X, from.U, &want.Unit, false
	if from.HasUnit {
		have, through = &from.Unit, from.Unit.NeedsStature(want.Unit)
		if !have.Matches(want.Unit) {
			s.problem("wrong-dimension", s.pointer(i, from)+"/unit", fmt.Sprintf("%s, a unit of %s", have.Name, have.Dim), unitsFor(want), "")
			return
		}
		if through && s.Stature.X == 0 {
			s.problem("no-stature", s.pointer(i, from), fmt.Sprintf("%g %s and no stature", from.X, have.Name), "stature_cm of the player", "the published table starts at age 8")
			return
		}
		x, u = have.Convert(x, want.Unit, s.Stature.X), have.Convert(u, want.Unit, s.Stature.X)
	}
	if want.HasRange && (x < want.Plausible[0] || x > want.Plausible[1]) {
		s.problem("implausible", s.pointer(i, from), inBoth(from.X, *have, x, want), plausible(want), "check for a slip in the value, the unit or the sign")
		return
	}
	cell.Seen, cell.From, cell.ByEye = true, "measures", !from.HasU
	cell.Value = quantity.Value{X: x, Parts: s.statedParts(m, x, from.HasU, u, through)}
}

// unitsFor says in which units a measure can be stated.
func unitsFor(m *rubric.Measure) string {
	if m.Unit.Dim == unit.Share || m.Unit.Dim == unit.Length {
		return "a unit of length, such as cm, or stature"
	}
	return fmt.Sprintf("a unit of %s, such as %s", m.Unit.Dim, m.Unit.Name)
}

// plausible says between what a measure can lie.
func plausible(m *rubric.Measure) string {
	return withUnit(fmt.Sprintf("%g to %g", m.Plausible[0], m.Plausible[1]), m.Unit)
}

// withUnit writes a number's unit behind it; a pure number has none.
func withUnit(number string, u unit.Unit) string {
	if u.Dim == unit.Ratio {
		return number
	}
	return number + " " + u.Name
}

func aNumber(in unit.Unit) string {
	if in.Dim == unit.Ratio {
		return "a number"
	}
	return "a number in " + in.Name
}

// inBoth writes a value in the unit it was stated in, and in the measure's.
func inBoth(x float64, have unit.Unit, converted float64, want *rubric.Measure) string {
	stated := withUnit(fmt.Sprintf("%g", x), have)
	if have == want.Unit {
		return stated
	}
	return stated + ", which is " + withUnit(fmt.Sprintf("%.4g", converted), want.Unit)
}

// statedParts are the parts of a stated value: stature where the unit was
// converted through it, x/H having the sensitivity −x/H, and the reading error.
func (s *Sheet) statedParts(m int, x float64, hasU bool, u float64, throughStature bool) []quantity.Part {
	from := len(s.parts)
	if throughStature && len(s.Stature.Parts) > 0 {
		d := s.Stature.Parts[0].D / s.Stature.X
		if s.Rubric.Measures[m].Unit.Name == "stature" {
			d = -d
		}
		s.parts = append(s.parts, quantity.Part{Input: quantity.Stature, D: x * d})
	}
	switch {
	case hasU && u > 0:
		s.parts = append(s.parts, quantity.Part{Input: s.ownInput(m), D: u})
	case !hasU && s.Rubric.Measures[m].U > 0:
		s.parts = append(s.parts, quantity.Part{Input: s.sharedInput(m), D: s.Rubric.Measures[m].U})
	}
	return s.parts[from:len(s.parts):len(s.parts)]
}
