package marks

import (
	"math"

	"rootcue/engine/quantity"
)

// kneeBend is 180° less the angle hip–knee–ankle at the front foot's landing:
// 0 for a straight leg.
func kneeBend(leg string, knee, ankle Joint) reader {
	src := from("hip, knee and ankle of the " + leg + " leg at front_foot_plant")
	return func(d *deriver, sc *scene) (quantity.Value, source, bool) {
		const m = FrontFootPlant
		if !sc.seen(m, Hip, knee, ankle) {
			return quantity.Value{}, source{}, false
		}
		at := &sc.marks[m]
		a := angleAt(at[knee], at[Hip], at[ankle])
		if !a.defined {
			d.note("points-coincide", "The "+leg+" knee was marked at the same pixel as the hip or the ankle at front_foot_plant; its bend was not derived.")
			return quantity.Value{}, source{}, false
		}
		v := d.in.begin()
		v.point(sc, m, Hip, -a.first[0], -a.first[1])
		v.point(sc, m, ankle, -a.second[0], -a.second[1])
		v.point(sc, m, knee, a.first[0]+a.second[0], a.first[1]+a.second[1])
		v.times(degree)
		return v.cut(180 - a.radians*degree), src, true
	}
}

const degree = 180 / math.Pi // degrees in a radian

// An angle between two arms, with its sensitivities to the arms' ends in
// radians a pixel; those to the vertex are minus their sum.
type angle struct {
	radians       float64
	first, second [2]float64
	defined       bool
}

// angleAt is the angle between the arms from a vertex to two ends, 0 to π. An
// end moved across its arm of length r turns the angle by 1/r.
func angleAt(vertex, first, second mark) angle {
	ax, ay := first.x-vertex.x, first.y-vertex.y
	bx, by := second.x-vertex.x, second.y-vertex.y
	aa, bb := ax*ax+ay*ay, bx*bx+by*by
	if aa == 0 || bb == 0 {
		return angle{}
	}
	cross, dot := ax*by-ay*bx, ax*bx+ay*by
	turn := 1.0 // the sense in which the second arm lies from the first
	if cross < 0 {
		turn = -1
	}
	return angle{
		radians: math.Atan2(math.Abs(cross), dot),
		first:   [2]float64{turn * ay / aa, -turn * ax / aa},
		second:  [2]float64{-turn * by / bb, turn * bx / bb},
		defined: true,
	}
}
