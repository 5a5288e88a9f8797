package picture

import "math"

// Lengths of the body as shares of stature (Drillis and Contini 1966, adults;
// ear: ANSUR II, men). A drawing needs no better.
const (
	ankleHeight = 0.039
	shank       = 0.285 - ankleHeight
	thigh       = 0.530 - 0.285
	trunk       = 0.818 - 0.530
	neckToEar   = 0.925 - 0.818
	upperArm    = 0.186
	forearm     = 0.146 + 0.108/2 // to the ball in the hand
	headRadius  = 0.062
	footLength  = 0.12
)

// bend finds the joint between a and b of two bones l1 and l2, on the left of
// the way from a to b, or on the right. Out of reach, the joint lies on the way.
func bend(a, b point, l1, l2 float64, right bool) point {
	dx, dy := b.x-a.x, b.y-a.y
	d := math.Max(math.Hypot(dx, dy), 1e-6)
	along := clampTo((l1*l1-l2*l2+d*d)/(2*d), -l1, l1)
	if d > l1+l2 {
		along = d * l1 / (l1 + l2)
	}
	off := math.Sqrt(math.Max(0, l1*l1-along*along))
	if d > l1+l2 {
		off = 0
	}
	if right {
		off = -off
	}
	return point{a.x + (along*dx-off*dy)/d, a.y + (along*dy+off*dx)/d}
}

// A canvas turns places on the body into places in a drawing.
type canvas struct {
	Drawing
	scale  float64 // user units a stature
	origin point   // where the body's (0, 0) lies in the drawing
}

func newCanvas(w, h, scale, originX, originY float64) *canvas {
	return &canvas{Drawing: Drawing{W: w, H: h}, scale: scale, origin: point{originX, originY}}
}

func (c *canvas) at(p point) point {
	return point{c.origin.x + c.scale*p.x, c.origin.y - c.scale*p.y}
}

// limb draws bones through points of the body.
func (c *canvas) limb(class string, points ...point) {
	placed := make([]point, len(points))
	for i, p := range points {
		placed[i] = c.at(p)
	}
	c.line(class, placed...)
}

// ground draws the ground.
func (c *canvas) ground(fromX, toX float64) {
	c.line("ground", c.at(point{fromX, 0}), c.at(point{toX, 0}))
}

// foot draws a foot from the ankle forward.
func (c *canvas) foot(class string, ankle point) {
	c.limb(class, ankle, ankle.plus(-0.03, -ankleHeight+0.012), ankle.plus(footLength-0.03, -ankleHeight+0.012))
}

// leg draws a leg whose knee points forward.
func (c *canvas) leg(class string, hip, ankle point) {
	c.limb(class, hip, bend(hip, ankle, thigh, shank, false), ankle)
	c.foot(class, ankle)
}

// head draws a masked head that looks to the right; its ear is at e.
func (c *canvas) head(e point) {
	middle := e.plus(0.012, 0.012)
	c.disc("head", c.at(middle), headRadius*c.scale)
	c.limb("mask", middle.plus(0.045, 0.058), middle.plus(0.085, 0.03), middle.plus(0.085, -0.04), middle.plus(0.04, -0.062))
}

// above is the place at a distance from p, leaning forward by degrees.
func above(p point, distance, degrees float64) point {
	s, c := math.Sincos(degrees * math.Pi / 180)
	return point{p.x + distance*s, p.y + distance*c}
}
