package measure

import (
	"math"

	"rootcue/engine/formula"
	"rootcue/engine/quantity"
	"rootcue/engine/rubric"
)

// Load fills a formula's inputs with what does not depend on measures:
// conditions, constants of the band, age and stature.
func (s *Sheet) load(in *formula.Inputs, c *rubric.Conditions) {
	clear(in.Seen)
	slots := &s.Rubric.Slots
	for k := range s.Rubric.Constants {
		constant := &s.Rubric.Constants[k]
		set(in, slots.Constant+k, constant.Unit.InFormulas(constant.ByBand[s.Band]))
	}
	LoadConditions(in, slots, c)
	set(in, slots.Age, float64(s.Age))
	if s.Stature.X > 0 {
		set(in, slots.Stature, s.Stature.X)
	}
}

// LoadConditions fills the slots of the conditions that are known, and the
// distance of the throw that follows from them.
func LoadConditions(in *formula.Inputs, slots *rubric.Slots, c *rubric.Conditions) {
	values := [rubric.ConditionCount]float64{c.BasePath, float64(c.ThrowTo), float64(c.Ball), float64(c.Stance), float64(c.Pitch), float64(c.Batter), one(c.RunnerMayLead), one(c.Thrown)}
	for i, v := range values {
		if c.Seen[i] {
			set(in, slots.Condition+i, v)
		}
	}
	if d, ok := ThrowDistance(c); ok {
		set(in, slots.Distance, d)
	}
}

// ThrowDistance is how far the throw goes, in metres: across the diamond to
// second, along the base path to third and first.
func ThrowDistance(c *rubric.Conditions) (float64, bool) {
	if !c.Seen[rubric.BasePath] || !c.Seen[rubric.ThrowTo] {
		return 0, false
	}
	if rubric.Enumerations[rubric.ThrowTo][c.ThrowTo] == "second" {
		return c.BasePath * math.Sqrt2, true
	}
	return c.BasePath, true
}

func set(in *formula.Inputs, slot int, v float64) { in.X[slot], in.Seen[slot] = v, true }

// finite reports whether x is neither NaN nor infinite.
func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

func one(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// SetMeasure writes a measure's value, shifted by its part from one input
// (-1: none) times sign, as formulas see it.
func (s *Sheet) setMeasure(in *formula.Inputs, m int, v quantity.Value, by quantity.Input, sign float64) {
	x := v.X
	if by >= 0 {
		x += sign * v.D(by)
	}
	set(in, s.Rubric.Slots.Measure+m, s.Rubric.Measures[m].Unit.InFormulas(x))
}
