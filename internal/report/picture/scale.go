package picture

import "math"

// labelGap is the least distance between two labels, in user units.
const labelGap = 17

// apart moves two label heights apart when they would touch, the wanted one
// away from the seen one.
func apart(seen, wanted float64) float64 {
	switch d := wanted - seen; {
	case math.Abs(d) >= labelGap:
		return wanted
	case d > 0:
		return seen + labelGap
	default:
		return seen - labelGap
	}
}

// levels marks a height: the wanted band, the seen line with its uncertainty,
// and both labels at the right edge. zero is the height that the reading counts
// from, in shares of stature.
func (c *canvas) levels(r Reading, zero, from, to float64) {
	lo, hi := clampTo(zero+r.Lo, from, to), clampTo(zero+r.Hi, from, to)
	left, right := 8.0, c.W-8
	top, bottom := c.at(point{0, hi}).y, c.at(point{0, lo}).y
	c.box(Goal, left, top, right-left, bottom-top)
	wanted := (top + bottom) / 2
	if !open(r.Hi) {
		c.line("goal-edge", point{left, top}, point{right, top})
		wanted = top + 13
	}
	if !open(r.Lo) {
		c.line("goal-edge", point{left, bottom}, point{right, bottom})
		if open(r.Hi) {
			wanted = bottom - 5
		}
	}
	y := c.at(point{0, clampTo(zero+r.Value, from, to)}).y
	c.line("seen", point{left, y}, point{right, y})
	u := c.scale * r.U
	c.line("spread", point{left + 4, y - u}, point{left + 4, y + u})
	seen := y - 5
	if wanted < y && y-wanted < labelGap+5 {
		seen = y + 14
	}
	c.textEnd("label seen-label", right-2, seen, r.Words.Seen)
	c.textEnd("label", right-2, apart(seen, wanted), r.Words.Wanted)
}

// spans marks a distance along the ground or in the air: the wanted band, the
// seen line, labels above and below. dir is −1 where the reading counts to the
// left.
func (c *canvas) spans(r Reading, zero, dir, top, bottom, from, to float64) {
	a, b := c.at(point{zero + dir*clampTo(r.Lo, from, to), 0}).x, c.at(point{zero + dir*clampTo(r.Hi, from, to), 0}).x
	left, right := math.Min(a, b), math.Max(a, b)
	c.box(Goal, left, top, right-left, bottom-top)
	if !open(r.Lo) {
		c.line("goal-edge", point{a, top}, point{a, bottom})
	}
	if !open(r.Hi) {
		c.line("goal-edge", point{b, top}, point{b, bottom})
	}
	x := c.at(point{zero + dir*clampTo(r.Value, from, to), 0}).x
	c.line("seen", point{x, top - 4}, point{x, bottom + 4})
	u := c.scale * r.U
	c.line("spread", point{x - u, bottom - 5}, point{x + u, bottom - 5})
}
