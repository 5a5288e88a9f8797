package picture

import "math"

// strip is the height kept free at the top, for what was seen, and at the
// bottom, for what is wanted.
const strip = 22

// labels writes both into their strips, over whatever reaches into them.
func (d *Drawing) labels(w Words) {
	d.box("mat", 0, 0, d.W, strip)
	d.box("mat", 0, d.H-strip, d.W, strip)
	d.text("label seen-label", 8, 16, w.Seen)
	d.text("label", 8, d.H-7, w.Wanted)
}

// levels marks a height: the wanted band and the seen line with its uncertainty. zero is the height that the reading counts
// from, in shares of stature.
func (c *canvas) levels(r Reading, zero, from, to float64) {
	lo, hi := clampTo(zero+r.Lo, from, to), clampTo(zero+r.Hi, from, to)
	left, right := 8.0, c.W-8
	top, bottom := c.at(point{0, hi}).y, c.at(point{0, lo}).y
	c.box(Goal, left, top, right-left, bottom-top)
	if !open(r.Hi) {
		c.line("goal-edge", point{left, top}, point{right, top})
	}
	if !open(r.Lo) {
		c.line("goal-edge", point{left, bottom}, point{right, bottom})
	}
	y := c.at(point{0, clampTo(zero+r.Value, from, to)}).y
	c.line("seen", point{left, y}, point{right, y})
	c.line("spread", point{right - 8, y - c.scale*r.U}, point{right - 8, y + c.scale*r.U})
}

// spans marks a distance along the ground or in the air: the wanted band, the
// seen line. dir is −1 where the reading counts to the
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
