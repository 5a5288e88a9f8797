package marks

import (
	"rootcue/engine/body"
	"rootcue/engine/quantity"
)

// ankleU is how well a standing ankle's height is known, as a share of
// stature (starting value): shoes, heels up, and the height itself.
const ankleU = 0.01

// hipHeight is the hip above the ground, a share of stature.
func hipHeight(m Moment) reader {
	byGround := from("hip and ground at " + m.String())
	byAnkle := from("hip and the lower ankle at " + m.String())
	return func(d *deriver, sc *scene) (quantity.Value, source, bool) {
		if !d.has(sc) || !sc.seen(m, Hip) {
			return quantity.Value{}, source{}, false
		}
		v, x, ground := d.above(sc, m, Hip)
		switch ground {
		case Ground:
			return v.cut(x), byGround, true
		case JointCount:
			return quantity.Value{}, source{}, false
		}
		return v.cut(x), byAnkle, true
	}
}

// above is a joint's height above the ground at a moment, as a share of
// stature: above the point `ground`, else above the lower ankle. The joint that
// gave the ground is JointCount where there is none.
func (d *deriver) above(sc *scene, m Moment, j Joint) (v building, x float64, ground Joint) {
	ground = sc.groundAt(m)
	if ground == JointCount {
		return v, 0, ground
	}
	v = d.in.begin()
	v.point(sc, m, j, 0, 1)
	v.point(sc, m, ground, 0, -1)
	x = v.share(sc, sc.marks[m][j].y-sc.marks[m][ground].y, d.set.Stature)
	if ground != Ground {
		x += body.AnkleHeight
		v.add(d.in.ankle, ankleU)
	}
	return v, x, ground
}

// groundAt is the joint to take the ground from.
func (sc *scene) groundAt(m Moment) Joint {
	at := &sc.marks[m]
	switch back, front := at[AnkleBack], at[AnkleFront]; {
	case at[Ground].seen:
		return Ground
	case back.seen && (!front.seen || back.y <= front.y):
		return AnkleBack
	case front.seen:
		return AnkleFront
	}
	return JointCount
}

var fromTransferHeight = from("ball and shoulder_throw at transfer")

func ballAboveShoulder(d *deriver, sc *scene) (quantity.Value, source, bool) {
	return d.between(sc, spot{Transfer, Ball}, spot{Transfer, ShoulderThrow}, upward, fromTransferHeight)
}

var fromDrawback = from("ear and ball at ball_back")

func ballBehindEar(d *deriver, sc *scene) (quantity.Value, source, bool) {
	return d.between(sc, spot{BallBack, EarPoint}, spot{BallBack, Ball}, forward, fromDrawback)
}

var fromDrop = from("ball at transfer and ball_low")

func ballDrop(d *deriver, sc *scene) (quantity.Value, source, bool) {
	return d.between(sc, spot{Transfer, Ball}, spot{BallLow, Ball}, upward, fromDrop)
}

// footDistance is how far the front ankle is ahead of the back one.
func footDistance(m Moment) reader {
	ankles := from("both ankles at " + m.String())
	return func(d *deriver, sc *scene) (quantity.Value, source, bool) {
		return d.between(sc, spot{m, AnkleFront}, spot{m, AnkleBack}, forward, ankles)
	}
}

// A spot is a joint at a moment.
type spot struct {
	m Moment
	j Joint
}

// An axis of the picture: forward is toward the target.
type axis int

const (
	forward axis = iota
	upward
)

// between is how far spot a is from spot b along an axis, a share of stature.
func (d *deriver) between(sc *scene, a, b spot, along axis, src source) (quantity.Value, source, bool) {
	if !d.has(sc) || !sc.seen(a.m, a.j) || !sc.seen(b.m, b.j) || along == forward && sc.ahead == 0 {
		return quantity.Value{}, source{}, false
	}
	v := d.in.begin()
	p, q := sc.marks[a.m][a.j], sc.marks[b.m][b.j]
	if along == forward {
		v.point(sc, a.m, a.j, 1, 0)
		v.point(sc, b.m, b.j, -1, 0)
		return v.cut(v.share(sc, p.x-q.x, d.set.Stature)), src, true
	}
	v.point(sc, a.m, a.j, 0, 1)
	v.point(sc, b.m, b.j, 0, -1)
	return v.cut(v.share(sc, p.y-q.y, d.set.Stature)), src, true
}
