// Package picture draws what a report tells, from its numbers: a catcher with
// the measured place against the wanted one, bars for times, chains and trend
// lines. A Drawing is plain data; the report writes it as SVG. Colours and line
// widths are the style sheet's, by class, so that a drawing can be read in
// light, in dark, and in black and white.
package picture

import (
	"fmt"
	"strconv"
	"strings"
)

// A Drawing is shapes in a box of W by H user units, the first at the back.
type Drawing struct {
	W, H   float64
	Shapes []Shape
}

// A Shape is a path (D), a disc (R above zero) or a text at X, Y.
type Shape struct {
	Class string // names the role: limb, goal, seen, label …
	D     string
	X, Y  float64
	R     float64
	Text  string
	End   bool // the text ends at X instead of starting there
	Mid   bool // the text is centred on X
}

// Goal is the class of an area in which the measure is wanted: it is hatched,
// so that it shows without colour.
const Goal = "goal"

// Hatched reports a shape that is filled with hatching.
func (s Shape) Hatched() bool { return s.Class == Goal }

// Anchor is the SVG text-anchor of a text.
func (s Shape) Anchor() string {
	switch {
	case s.End:
		return "end"
	case s.Mid:
		return "middle"
	}
	return "start"
}

// A point is a place in a drawing, or in a body in shares of stature, y up.
type point struct{ x, y float64 }

func (p point) plus(dx, dy float64) point { return point{p.x + dx, p.y + dy} }

// num writes a coordinate to a tenth of a unit.
func num(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }

func (d *Drawing) path(class, format string, coordinates ...float64) {
	parts := make([]any, len(coordinates))
	for i, c := range coordinates {
		parts[i] = num(c)
	}
	d.Shapes = append(d.Shapes, Shape{Class: class, D: fmt.Sprintf(format, parts...)})
}

// line joins points.
func (d *Drawing) line(class string, points ...point) {
	var b strings.Builder
	for i, p := range points {
		b.WriteString([]string{"L", "M"}[btoi(i == 0)] + num(p.x) + " " + num(p.y))
	}
	d.Shapes = append(d.Shapes, Shape{Class: class, D: b.String()})
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

func (d *Drawing) box(class string, x, y, w, h float64) {
	d.path(class, "M%s %sH%sV%sH%sZ", x, y, x+w, y+h, x)
}

func (d *Drawing) disc(class string, p point, r float64) {
	d.Shapes = append(d.Shapes, Shape{Class: class, X: p.x, Y: p.y, R: r})
}

func (d *Drawing) text(class string, x, y float64, s string) {
	d.Shapes = append(d.Shapes, Shape{Class: class, X: x, Y: y, Text: s})
}

func (d *Drawing) textEnd(class string, x, y float64, s string) {
	d.Shapes = append(d.Shapes, Shape{Class: class, X: x, Y: y, Text: s, End: true})
}

func (d *Drawing) textMid(class string, x, y float64, s string) {
	d.Shapes = append(d.Shapes, Shape{Class: class, X: x, Y: y, Text: s, Mid: true})
}
