package measure

import (
	"fmt"
	"math"

	"rootcue/engine/marks"
	"rootcue/engine/observation"
	"rootcue/engine/quantity"
	"rootcue/engine/rubric"
)

// farApart is how many combined standard uncertainties a stated value and the
// one from marks may differ by before it is worth a note.
const farApart = 3

// readMarks derives what the marks of a rep show. A stated measure beats a
// derived one.
func (s *Sheet) readMarks(i int, rep *Rep, o *observation.Observation) {
	cams := o.Reps[i].Marks
	if len(cams) == 0 {
		return
	}
	if s.marks == nil {
		s.marks = marks.NewInputs(&s.pool)
	}
	pointer := fmt.Sprintf("/reps/%d/marks", i)
	derived, notes, problems := marks.Derive(cams, s.setting(rep, o), s.marks, pointer)
	s.problems = append(s.problems, problems...)
	for _, n := range notes {
		s.note(n.Code, n.Says)
	}
	for _, d := range derived {
		if m := s.Rubric.MeasureNamed(d.Measure); m >= 0 && s.Rubric.Measures[m].Kind == rubric.Quantity {
			s.takeDerived(pointer, rep, m, d)
		}
	}
}

func (s *Sheet) setting(rep *Rep, o *observation.Observation) marks.Setting {
	set := marks.Setting{Throws: o.Player.Throws, Stature: s.Stature}
	set.DistanceM, _ = ThrowDistance(&rep.Conditions)
	set.Dry = rep.Conditions.Seen[rubric.Ball] && rubric.Enumerations[rubric.Ball][rep.Conditions.Ball] == "dry"
	if m := s.Rubric.MeasureNamed("bounced"); m >= 0 {
		set.Bounced = rep.Cells[m].Seen && rep.Cells[m].Value.X == 1
	}
	if m := s.Rubric.MeasureNamed("arrival_height"); m >= 0 && rep.Cells[m].Seen {
		set.HasArrival, set.ArrivalHeightM = true, s.InFormulas(m, rep.Cells[m].Value)
	}
	if m := s.Rubric.MeasureNamed("stride_length"); m >= 0 && rep.Cells[m].Seen && s.Rubric.Measures[m].Unit.Name == "stature" {
		set.StepShare = rep.Cells[m].Value
	}
	return set
}

// InFormulas is a value of a measure as formulas see it.
func (s *Sheet) InFormulas(m int, v quantity.Value) quantity.Value {
	return scale(v, s.Rubric.Measures[m].Unit.InFormulas)
}

// scale applies a linear change of unit to a value and its parts.
func scale(v quantity.Value, convert func(float64) float64) quantity.Value {
	out := quantity.Value{X: convert(v.X), Parts: make([]quantity.Part, len(v.Parts))}
	for i, p := range v.Parts {
		out.Parts[i] = quantity.Part{Input: p.Input, D: convert(p.D)}
	}
	return out
}

func (s *Sheet) takeDerived(pointer string, rep *Rep, m int, d marks.Derived) {
	want := &s.Rubric.Measures[m]
	v := scale(d.Value, want.Unit.FromFormulas)
	if c := &rep.Cells[m]; c.Seen {
		u := math.Hypot(c.Value.U(), v.U())
		if math.Abs(c.Value.X-v.X) > farApart*u {
			s.note("stated-against-marks", fmt.Sprintf("Rep %d: %s was stated as %.4g, but the marks give %.4g ± %.2g %s. The stated value counts.", rep.Number, want.Name, c.Value.X, v.X, v.U(), want.Unit.Name))
		}
		return
	}
	if want.HasRange && (v.X < want.Plausible[0] || v.X > want.Plausible[1]) {
		s.problem("implausible", pointer, fmt.Sprintf("%s = %s from %s", want.Name, withUnit(fmt.Sprintf("%.4g", v.X), want.Unit), d.From),
			plausible(want), "check those points and frames, the scale and the side of the target")
		return
	}
	rep.Cells[m] = Cell{Seen: true, Value: v, From: d.From}
}
