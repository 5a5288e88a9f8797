package report

import (
	"math"
	"strconv"

	"rootcue/engine/unit"
	"rootcue/internal/report/rounding"
)

// limitText writes a limit, which is exact as the rubric has it, to three
// significant digits: it may have been turned into another unit.
func limitText(v float64) string { return strconv.FormatFloat(roundTo(v, 3), 'f', -1, 64) }

// number writes a count.
func number(n int) string { return strconv.Itoa(n) }

// A display turns a measure's values into the unit that people read them in.
type display struct {
	factor float64
	unit   string // name of the unit shown
}

// displayOf finds the unit to show: the one the rubric asks for, centimetres
// for lengths as shares of a known stature, per cent of it else.
func (v *view) displayOf(measure, unitName string) display {
	stature := float64(v.a.Player.StatureM)
	own, known := unit.Parse(unitName)
	if !known {
		return display{1, unitName}
	}
	enter := own
	if v.in.Rubric != nil {
		if i := v.in.Rubric.MeasureNamed(measure); i >= 0 {
			enter = v.in.Rubric.Measures[i].Enter
		}
	}
	if own.Dim == unit.Share && enter.Dim != unit.Length {
		enter = unit.Must("cm")
	}
	switch {
	case own.NeedsStature(enter) && !(stature > 0):
		return display{100, "stature"}
	case !own.Matches(enter):
		return display{1, own.Name}
	}
	return display{own.Convert(1, enter, stature), enter.Name}
}

// unitWord is a unit in the reader's language, with the space before it.
func (v *view) unitWord(name string) string {
	switch {
	case name == "1" || !v.say.has("unit."+name):
		return ""
	case name == "deg":
		return v.say.say("unit.deg")
	}
	return " " + v.say.say("unit."+name)
}

// amount writes a value with uncertainty and unit.
func (v *view) amount(d display, value, u float64) string {
	if math.IsNaN(value) {
		return v.say.say("unknown")
	}
	return rounding.WithSpread(value*d.factor, u*d.factor) + v.unitWord(d.unit)
}

// leastU is the least uncertainty that a time is written to, s: nobody reads a
// hundredth of a second off a throw, whatever an average says.
const leastU = 0.02

// seconds writes a time with its uncertainty.
func (v *view) seconds(s, u float64) string {
	if !(u > 0) {
		return v.aboutSeconds(s, u)
	}
	return rounding.Value(s, max(u, leastU)) + " ± " + rounding.Value(max(u, 0.01), max(u, leastU)) + v.unitWord("s")
}

// aboutSeconds writes a time to what an uncertainty supports, without it.
func (v *view) aboutSeconds(s, u float64) string {
	return rounding.Value(s, max(u, leastU)) + v.unitWord("s")
}

// roundTo rounds to significant digits.
func roundTo(v float64, digits int) float64 {
	if v == 0 {
		return 0
	}
	scale := math.Pow10(digits - 1 - int(math.Floor(math.Log10(math.Abs(v)))))
	return math.Round(v*scale) / scale
}
