// Package unit knows the units that rubrics and observations may use, and
// turns values from one into another.
package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// A Dimension is what a unit measures.
type Dimension string

// The dimensions in use. A share of stature is a length once a stature is
// known, so Length and Share convert into each other through it.
const (
	Mass   Dimension = "mass"
	Time   Dimension = "time"
	Length Dimension = "length"
	Share  Dimension = "share of standing height"
	Speed  Dimension = "speed"
	Angle  Dimension = "angle"
	Ratio  Dimension = "pure ratio"
	Rate   Dimension = "time per angle"
)

// A Unit is a named unit; factor times a value in it gives the SI value
// (kg, s, m, m/s, rad), or the value itself for Share and Ratio.
type Unit struct {
	Name   string
	Dim    Dimension
	factor float64
}

// degree in radians.
const degree = math.Pi / 180

// all lists the accepted units. Exact factors: NIST SP 811 appendix B
// (foot 0.3048 m, inch 0.0254 m, mile 1609.344 m).
var all = []Unit{
	{"kg", Mass, 1},
	{"s", Time, 1}, {"ms", Time, 1e-3},
	{"m", Length, 1}, {"cm", Length, 1e-2}, {"mm", Length, 1e-3}, {"ft", Length, 0.3048}, {"in", Length, 0.0254},
	{"mph", Speed, 1609.344 / 3600}, {"km/h", Speed, 1 / 3.6}, {"m/s", Speed, 1},
	{"deg", Angle, degree}, {"rad", Angle, 1},
	{"stature", Share, 1},
	{"1", Ratio, 1},
	{"s/deg", Rate, 1},
}

// Names lists the accepted unit names in a fixed order.
func Names() []string {
	names := make([]string, len(all))
	for i, u := range all {
		names[i] = u.Name
	}
	return names
}

// Parse finds a unit by its name.
func Parse(name string) (Unit, bool) {
	for _, u := range all {
		if u.Name == name {
			return u, true
		}
	}
	return Unit{}, false
}

// Must is Parse for names fixed in the program; it panics on another.
func Must(name string) Unit {
	u, ok := Parse(name)
	if !ok {
		panic("unit: no unit " + name)
	}
	return u
}

// ToSI gives v of this unit in SI (shares and ratios stay as they are).
func (u Unit) ToSI(v float64) float64 { return v * u.factor }

// FromSI gives an SI value in this unit.
func (u Unit) FromSI(v float64) float64 { return v / u.factor }

// Matches reports whether values of the two units turn into each other. A
// length and a share of stature do, given a stature.
func (u Unit) Matches(to Unit) bool {
	return u.Dim == to.Dim || u.NeedsStature(to)
}

// NeedsStature reports whether converting takes the player's stature.
func (u Unit) NeedsStature(to Unit) bool {
	return u.Dim == Length && to.Dim == Share || u.Dim == Share && to.Dim == Length
}

// InFormulas gives v as formulas see it: SI, but angles in degrees, because
// instructors write limits and rates in degrees.
func (u Unit) InFormulas(v float64) float64 {
	if u.Dim == Angle {
		return v * (u.factor / degree)
	}
	return v * u.factor
}

// FromFormulas is the inverse of InFormulas.
func (u Unit) FromFormulas(v float64) float64 {
	if u.Dim == Angle {
		return v / (u.factor / degree)
	}
	return v / u.factor
}

// Convert turns v of unit u into unit to; stature is in metres and is read
// only where NeedsStature says so. The units must match.
func (u Unit) Convert(v float64, to Unit, stature float64) float64 {
	switch {
	case u == to:
		return v
	case u.Dim == Length && to.Dim == Share:
		return u.ToSI(v) / stature
	case u.Dim == Share && to.Dim == Length:
		return to.FromSI(v * stature)
	}
	return v * (u.factor / to.factor)
}

// ParseQuantity reads a number with its unit written behind it, such as
// "60mph" or "98.99 ft".
func ParseQuantity(text string) (float64, Unit, error) {
	s := strings.TrimSpace(text)
	// Longest name first, so that "ms" is not read as "m" with a stray "s".
	best := Unit{}
	for _, u := range all {
		if u.Dim != Ratio && u.Dim != Share && strings.HasSuffix(s, u.Name) && len(u.Name) > len(best.Name) {
			best = u
		}
	}
	if best.Name == "" {
		return 0, Unit{}, fmt.Errorf("%q has no unit at its end; wanted a number and a unit, such as 60mph or 1.26s", text)
	}
	number := strings.TrimSpace(strings.TrimSuffix(s, best.Name))
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, Unit{}, fmt.Errorf("%q: %q is no number; wanted a number and a unit, such as 60mph or 1.26s", text, number)
	}
	return v, best, nil
}
