package marks

import (
	"fmt"
	"math"

	"rootcue/engine/body"
	"rootcue/engine/quantity"
)

// farShoulderU is the least uncertainty of a turn read from the side, where
// one shoulder hides the other, in degrees (starting value).
const farShoulderU = 5.0

var fromTurn = from("both shoulders at set")

// shoulderTurn is how far the throwing shoulder is turned away from the target
// in the set: asin of the shoulders' distance along the throw over their breadth.
func shoulderTurn(d *deriver, sc *scene) (quantity.Value, source, bool) {
	if !d.has(sc) || sc.ahead == 0 || !sc.seen(Set, ShoulderGlove, ShoulderThrow) {
		return quantity.Value{}, source{}, false
	}
	v := d.in.begin()
	v.point(sc, Set, ShoulderGlove, 1, 0)
	v.point(sc, Set, ShoulderThrow, -1, 0)
	at := &sc.marks[Set]
	sine := v.share(sc, at[ShoulderGlove].x-at[ShoulderThrow].x, d.set.Stature) / body.ShoulderBreadth
	v.times(1 / body.ShoulderBreadth)
	v.add(d.in.breadth, -sine*body.ShoulderBreadthU)
	u := v.cut(sine).U()
	if math.Abs(sine) > 1+2*u {
		d.note("shoulders-too-far-apart", fmt.Sprintf("The shoulders at set are %.2f shoulder breadths apart along the throw, more than two standard uncertainties over 1: shoulder_turn_set was not derived. Check the two points and the scale.", math.Abs(sine)))
		v.drop()
		return quantity.Value{}, source{}, false
	}
	// Near 90° the sine hardly moves; the half difference over the whole u
	// stays finite there (JCGM 100:2008, 5.1.3 note 2).
	slope := degree / math.Sqrt(max(1-sine*sine, 1e-12))
	if u > 0 {
		slope = (arcsine(sine+u) - arcsine(sine-u)) / (2 * u)
	}
	v.times(slope)
	if uTurn := slope * u; uTurn < farShoulderU {
		v.add(d.in.far, math.Sqrt(farShoulderU*farShoulderU-uTurn*uTurn))
	}
	return v.cut(arcsine(sine)), fromTurn, true
}

// arcsine in degrees, of a sine held within its range.
func arcsine(x float64) float64 { return math.Asin(max(-1, min(1, x))) * degree }
