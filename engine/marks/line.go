package marks

import (
	"math"

	"rootcue/engine/quantity"
)

// offLine is the angle between a step and the line to the target: atan of the
// foot's sideways distance from the other foot's line over the step's length.
// A camera behind or ahead shows the first, one at the side the second; a
// stride's length may be stated instead.
func offLine(m Moment, foot, other Joint) reader {
	bySide := from("both ankles at " + m.String() + ", the step's length from the side")
	stated := from("both ankles at " + m.String() + ", the step's length as stated")
	return func(d *deriver, sc *scene) (quantity.Value, source, bool) {
		if !d.has(sc) || !sc.seen(m, foot, other) {
			return quantity.Value{}, source{}, false
		}
		length, src, ok := d.stepLength(m, foot, other), bySide, true
		if length.X == 0 && m == FrontFootPlant && d.set.StepShare.X != 0 {
			length, src = d.set.StepShare, stated
		}
		if length.X == 0 {
			return quantity.Value{}, source{}, false
		}
		if length.X < 2*length.U() || length.X <= 0 {
			d.note("step-too-short", "At "+m.String()+" the step's length toward the target is within two standard uncertainties of zero or below it; its angle off the line was not derived.")
			return quantity.Value{}, source{}, false
		}
		return d.offLineAngle(sc, m, foot, other, length), src, ok
	}
}

// stepLength is how far the foot is ahead of the other one, as a share of
// stature, from the first side view that shows both; X is 0 where none does.
func (d *deriver) stepLength(m Moment, foot, other Joint) quantity.Value {
	for i := range d.scenes {
		sc := &d.scenes[i]
		if sc.cam.View != Beside {
			continue
		}
		if v, _, ok := d.between(sc, spot{m, foot}, spot{m, other}, forward, source{}); ok {
			return v
		}
	}
	return quantity.Value{}
}

// offLineAngle is atan(s/l), in degrees: ∂/∂s = l/(s²+l²), ∂/∂l = −s/(s²+l²).
func (d *deriver) offLineAngle(sc *scene, m Moment, foot, other Joint, length quantity.Value) quantity.Value {
	v := d.in.begin()
	px := sc.marks[m][foot].x - sc.marks[m][other].x
	side := 1.0
	if px < 0 {
		side = -1
	}
	v.point(sc, m, foot, side, 0)
	v.point(sc, m, other, -side, 0)
	s := v.share(sc, side*px, d.set.Stature)
	l := length.X
	v.times(l / (s*s + l*l) * degree)
	v.addAll(length, -s/(s*s+l*l)*degree)
	return v.cut(math.Atan2(s, l) * degree)
}
