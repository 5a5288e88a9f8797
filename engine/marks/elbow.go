package marks

import (
	"math"

	"rootcue/engine/quantity"
)

var fromElbow = from("elbow_throw and both shoulders at release")

// elbowHeight is the throwing elbow's distance from the line through both
// shoulders, perpendicular to it, positive on the head's side.
func elbowHeight(d *deriver, sc *scene) (quantity.Value, source, bool) {
	const m = Release
	if !d.has(sc) || !sc.seen(m, ElbowThrow, ShoulderThrow, ShoulderGlove) {
		return quantity.Value{}, source{}, false
	}
	at := &sc.marks[m]
	a, b, p := at[ShoulderGlove], at[ShoulderThrow], at[ElbowThrow]
	r := math.Hypot(b.x-a.x, b.y-a.y)
	if r == 0 {
		d.note("points-coincide", "Both shoulders were marked at the same pixel at release; elbow_height_release was not derived.")
		return quantity.Value{}, source{}, false
	}
	n := [2]float64{-(b.y - a.y) / r, (b.x - a.x) / r}
	if sc.headSide(a, n) < 0 {
		n = [2]float64{-n[0], -n[1]}
	}
	h := n[0]*(p.x-a.x) + n[1]*(p.y-a.y)
	along := ((p.x-a.x)*(b.x-a.x) + (p.y-a.y)*(b.y-a.y)) / (r * r) // where the perpendicular meets the line
	v := d.in.begin()
	v.point(sc, m, ElbowThrow, n[0], n[1])
	v.point(sc, m, ShoulderGlove, -(1-along)*n[0], -(1-along)*n[1])
	v.point(sc, m, ShoulderThrow, -along*n[0], -along*n[1])
	return v.cut(v.share(sc, h, d.set.Stature)), fromElbow, true
}

// headSide is positive where n points to the head's side of the shoulders:
// toward the ear, else away from the hip, else up.
func (sc *scene) headSide(shoulder mark, n [2]float64) float64 {
	at := &sc.marks[Release]
	if ear := at[EarPoint]; ear.seen {
		return n[0]*(ear.x-shoulder.x) + n[1]*(ear.y-shoulder.y)
	}
	if hip := at[Hip]; hip.seen {
		return -(n[0]*(hip.x-shoulder.x) + n[1]*(hip.y-shoulder.y))
	}
	return n[1]
}
