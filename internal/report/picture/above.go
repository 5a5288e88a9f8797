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
	d := Drawing{W: 300, H: 232}
	start, radius := point{150, 194}, 140.0
	limit := clampTo(r.Hi, 0, 90)
	d.wedge(Goal, start, radius, -limit, limit)
	d.targetLine(start, r.Words.Target)
	angle := clampTo(r.Value, 0, 90)
	d.wedge("spread-area", start, radius*0.86, angle-r.U, angle+r.U)
	end := onCircle(start, radius*0.86, angle)
	d.line("seen", start, end)
	d.shoe(start, 0, "shoe")
	d.shoe(end, angle, "shoe seen-shoe")
	d.labels(r.Words)
	return d
}

func (d *Drawing) targetLine(from point, name string) {
	d.line("reference", from, point{from.x, 42})
	d.path("base", "M%s %sl8 8l-8 8l-8 -8Z", from.x, 26)
	d.text("label minor", from.x+14, 38, name)
}

// shoe draws a shoe sole that points along degrees.
func (d *Drawing) shoe(p point, degrees float64, class string) {
	heel, toe := onCircle(p, -11, degrees), onCircle(p, 13, degrees)
	d.line(class, heel, toe)
}

// shouldersFromAbove shows the line of the shoulders against the wanted turn,
// from above; the target is up.
func shouldersFromAbove(r Reading) Drawing {
	d := Drawing{W: 300, H: 232}
	middle, radius := point{150, 122}, 84.0
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
	d.labels(r.Words)
	return d
}

// openFromAbove shows how far the front shoulder has swung past the line to the
// target, from above; the target is up.
func openFromAbove(r Reading) Drawing {
	d := Drawing{W: 300, H: 232}
	middle, radius := point{150, 140}, 92.0
	lo, hi := clampTo(r.Lo, -45, 120), clampTo(r.Hi, -45, 120)
	d.wedge(Goal, middle, radius, lo, hi)
	d.targetLine(middle, r.Words.Target)
	angle := clampTo(r.Value, -60, 120)
	d.wedge("spread-area", middle, radius, angle-r.U, angle+r.U)
	d.line("limb torso-line", onCircle(middle, 52, angle), onCircle(middle, 52, angle+180))
	d.line("seen", middle, onCircle(middle, radius, angle))
	d.disc("head", middle, 17)
	d.line("mask", onCircle(middle, 17, -50), onCircle(middle, 22, -20), onCircle(middle, 22, 20), onCircle(middle, 17, 50))
	d.disc("joint", onCircle(middle, 52, angle), 5)
	d.labels(r.Words)
	return d
}

// stagger shows the two feet in the set from above, the pitcher to the right.
func stagger(r Reading) Drawing {
	c := newCanvas(300, 190, 260, 165, 0)
	lo, hi := clampTo(r.Lo, -0.4, 0.4), clampTo(r.Hi, -0.4, 0.4)
	x := func(behind float64) float64 { return c.at(point{-behind, 0}).x }
	c.box(Goal, x(hi), 104, x(lo)-x(hi), 50)
	c.line("reference", point{x(0), 34}, point{x(0), 160})
	value := clampTo(r.Value, -0.4, 0.4)
	c.shoe(point{x(0), 66}, 90, "shoe")
	c.shoe(point{x(value), 129}, 90, "shoe seen-shoe")
	c.line("seen", point{x(value), 102}, point{x(value), 156})
	c.line("spread", point{x(value) - c.scale*r.U, 149}, point{x(value) + c.scale*r.U, 149})
	c.textEnd("label minor", 292, 36, r.Words.Target)
	c.labels(r.Words)
	return c.Drawing
}
