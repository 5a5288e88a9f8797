package marks

import (
	"math"

	"rootcue/engine/quantity"
)

// The hand's path: ball at catch C, transfer T, ball_back B and ear E. The
// detours add up to the whole path less the straight line:
// (|CT|+|TE|−|CE|) + (|TB|+|BE|−|TE|) = |CT|+|TB|+|BE| − |CE|.
var (
	handPath     = way("ball at catch, transfer, ball_back and ear", leg{Catch, Transfer, 1}, leg{Transfer, BallBack, 1}, leg{BallBack, Ear, 1})
	straightPath = way("ball at catch and ear", leg{Catch, Ear, 1})
	lowDetour    = way("ball at catch, transfer and ear", leg{Catch, Transfer, 1}, leg{Transfer, Ear, 1}, leg{Catch, Ear, -1})
	backDetour   = way("ball at transfer, ball_back and ear", leg{Transfer, BallBack, 1}, leg{BallBack, Ear, 1}, leg{Transfer, Ear, -1})
)

// A leg is the straight line between the ball at two moments, counted with a sign.
type leg struct {
	from, to Moment
	sign     float64
}

// way is the sum of legs, a share of stature. The mitt stands in for the ball
// at the catch.
func way(what string, legs ...leg) reader {
	src := from(what)
	return func(d *deriver, sc *scene) (quantity.Value, source, bool) {
		if !d.has(sc) {
			return quantity.Value{}, source{}, false
		}
		for _, l := range legs {
			if !sc.seen(l.from, sc.hand(l.from)) || !sc.seen(l.to, Ball) {
				return quantity.Value{}, source{}, false
			}
		}
		v := d.in.begin()
		px := 0.0
		for _, l := range legs {
			px += l.sign * v.distance(sc, l)
		}
		return v.cut(v.share(sc, px, d.set.Stature)), src, true
	}
}

// hand is the joint that shows the ball at a moment.
func (sc *scene) hand(m Moment) Joint {
	if m == Catch && !sc.marks[m][Ball].seen {
		return Mitt
	}
	return Ball
}

// distance is the length of a leg in pixels; its sensitivity to an end is the
// unit vector along it.
func (b *building) distance(sc *scene, l leg) float64 {
	j := sc.hand(l.from)
	p, q := sc.marks[l.from][j], sc.marks[l.to][Ball]
	dx, dy := q.x-p.x, q.y-p.y
	r := math.Hypot(dx, dy)
	if r == 0 {
		return 0
	}
	b.point(sc, l.from, j, -l.sign*dx/r, -l.sign*dy/r)
	b.point(sc, l.to, Ball, l.sign*dx/r, l.sign*dy/r)
	return r
}
