package rubric

import (
	"fmt"
	"slices"
)

// finishFaults works out, once, what every assessment says of a fault: its
// rule in words for each band, and the measures and constants behind it.
func (c *compiler) finishFaults() {
	for i := range c.r.Faults {
		f := &c.r.Faults[i]
		if f.Measure < 0 && f.When == nil { // a slip, reported already
			continue
		}
		f.behind(c.r)
		for band := range c.r.Bands {
			f.Rules = append(f.Rules, f.rule(c.r, band))
		}
	}
}

// behind lists a fault's own measure, then what its condition and cost read.
func (f *Fault) behind(r *Rubric) {
	if f.When == nil {
		f.Measures = append(f.Measures, f.Measure)
	}
	for _, slot := range f.Reads {
		if m := slot - r.Slots.Measure; m >= 0 && m < len(r.Measures) && !slices.Contains(f.Measures, m) {
			f.Measures = append(f.Measures, m)
		}
		if k := slot - r.Slots.Constant; k >= 0 && k < len(r.Constants) {
			f.Constants = append(f.Constants, k)
		}
	}
}

// rule writes a fault's rule for a band in words.
func (f *Fault) rule(r *Rubric, band int) (text string) {
	switch {
	case f.When != nil:
		text = "fault when " + f.When.Source()
	case !f.Limit.AppliesTo(band):
		text = r.Measures[f.Measure].Name + " has no limit for this band"
	default:
		text = r.Measures[f.Measure].Name + " " + f.Limit.words(band, &r.Measures[f.Measure])
	}
	if f.OnlyIf != nil {
		text += ", judged only if " + f.OnlyIf.Source()
	}
	return text
}

func (l *Limit) words(band int, m *Measure) string {
	unit := ""
	if m.Kind == Quantity {
		unit = " " + m.Unit.Name
	}
	switch l.Kind {
	case AtMost:
		return fmt.Sprintf("at most %g%s", l.Hi[band], unit)
	case AtLeast:
		return fmt.Sprintf("at least %g%s", l.Lo[band], unit)
	case Between:
		return fmt.Sprintf("between %g and %g%s", l.Lo[band], l.Hi[band], unit)
	}
	if l.MustBe {
		return "must be yes"
	}
	return "must be no"
}
