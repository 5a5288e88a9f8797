package picture

import "math"

// wedge fills the angles between two directions around p; 0 points up the
// drawing, to the target, plus to the right.
func (d *Drawing) wedge(class string, p point, radius, from, to float64) {
	a, b := onCircle(p, radius, from), onCircle(p, radius, to)
	d.path(class, "M%s %sL%s %sA%s %s 0 0 1 %s %sZ", p.x, p.y, a.x, a.y, radius, radius, b.x, b.y)
}

func onCircle(p point, radius, degrees float64) point {
	s, c := math.Sincos(degrees * math.Pi / 180)
	return point{p.x + radius*s, p.y - radius*c}
}

// stepFromAbove shows a step against the line to the target, from above.
func stepFromAbove(r Reading) Drawing {
	d := Drawing{W: 300, H: 210}
	start, radius := point{95, 190}, 150.0
	limit := clampTo(r.Hi, 0, 90)
	d.wedge(Goal, start, radius, -limit, limit)
	d.targetLine(start, r.Words.Target)
	angle := clampTo(r.Value, 0, 90)
	d.wedge("spread-area", start, radius*0.86, angle-r.U, angle+r.U)
	end := onCircle(start, radius*0.86, angle)
	d.line("seen", start, end)
	d.shoe(start, 0, "shoe")
	d.shoe(end, angle, "shoe seen-shoe")
	d.text("label seen-label", 165, 118, r.Words.Seen)
	d.text("label", 165, 138, r.Words.Wanted)
	return d
}

func (d *Drawing) targetLine(from point, name string) {
	d.line("reference", from, point{from.x, 22})
	d.path("base", "M%s %sl8 8l-8 8l-8 -8Z", from.x, 8)
	d.text("label minor", from.x+14, 20, name)
}

// shoe draws a shoe sole that points along degrees.
func (d *Drawing) shoe(p point, degrees float64, class string) {
	heel, toe := onCircle(p, -11, degrees), onCircle(p, 13, degrees)
	d.line(class, heel, toe)
}

// shouldersFromAbove shows the line of the shoulders against the wanted turn,
// from above; the target is up.
func shouldersFromAbove(r Reading) Drawing {
	d := Drawing{W: 300, H: 210}
	middle, radius := point{95, 125}, 84.0
	lo, hi := clampTo(r.Lo, -60, 120), clampTo(r.Hi, -60, 120)
	if open(r.Lo) {
		lo = 0
	}
	d.wedge(Goal, middle, radius, lo+90, hi+90)
	d.targetLine(middle, r.Words.Target)
	angle := clampTo(r.Value, -60, 120)
	front, back := onCircle(middle, 56, angle-90), onCircle(middle, 56, angle+90)
	d.line("limb torso-line", front, back)
	d.line("seen", middle, onCircle(middle, radius, angle+90))
	d.wedge("spread-area", middle, radius, angle+90-r.U, angle+90+r.U)
	d.disc("head", middle, 17)
	d.line("mask", onCircle(middle, 17, -50), onCircle(middle, 22, -20), onCircle(middle, 22, 20), onCircle(middle, 17, 50))
	d.disc("joint", back, 5)
	d.text("label seen-label", 8, 202, r.Words.Seen)
	d.textEnd("label", 292, 202, r.Words.Wanted)
	return d
}

// stagger shows the two feet in the set from above, the pitcher to the right.
func stagger(r Reading) Drawing {
	c := newCanvas(300, 170, 260, 165, 0)
	lo, hi := clampTo(r.Lo, -0.4, 0.4), clampTo(r.Hi, -0.4, 0.4)
	x := func(behind float64) float64 { return c.at(point{-behind, 0}).x }
	c.box(Goal, x(hi), 84, x(lo)-x(hi), 50)
	c.line("reference", point{x(0), 20}, point{x(0), 140})
	value := clampTo(r.Value, -0.4, 0.4)
	c.shoe(point{x(0), 50}, 90, "shoe")
	c.shoe(point{x(value), 109}, 90, "shoe seen-shoe")
	c.line("seen", point{x(value), 84}, point{x(value), 134})
	c.line("spread", point{x(value) - c.scale*r.U, 129}, point{x(value) + c.scale*r.U, 129})
	c.textEnd("label minor", 292, 16, r.Words.Target)
	c.text("label seen-label", 8, 160, r.Words.Seen)
	c.textEnd("label", 292, 160, r.Words.Wanted)
	return c.Drawing
}
