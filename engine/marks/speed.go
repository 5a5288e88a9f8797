package marks

import (
	"fmt"
	"math"

	"rootcue/engine/flight"
	"rootcue/engine/quantity"
)

// Where the ball leaves and arrives when that was not marked or stated, with
// standard uncertainties (starting values).
const (
	releaseShare, releaseShareU = 0.95, 0.1 // shares of stature
	arrivalM, arrivalMU         = 0.3, 0.3  // m
)

var (
	fromFlightMarked = from("frames release and arrival, height of the ball at release, distance of the throw")
	fromFlight       = from("frames release and arrival, release at 0.95 of stature, distance of the throw")
)

// throwSpeed is the launch speed of the flat throw that takes the flight time
// over the distance to the target.
func throwSpeed(d *deriver, sc *scene) (quantity.Value, source, bool) {
	time, ok := d.find("flight_time")
	if !ok || d.set.Bounced || d.set.DistanceM == 0 || !sc.events[Release].seen || !sc.events[Arrival].seen {
		return quantity.Value{}, source{}, false
	}
	release, src, ok := d.releaseHeight()
	if !ok {
		return quantity.Value{}, source{}, false
	}
	v, ok := d.solveSpeed(time, release, d.arrivalHeight())
	if !ok {
		d.note("does-not-carry", fmt.Sprintf("No flat throw over %.1f m takes %.2f s: the ball bounced, or the frames of release and arrival are off. throw_speed was not derived.", d.set.DistanceM, time.X))
	}
	return v, src, ok
}

// releaseHeight is the ball's height at release in metres, from the first side
// view that shows ball and ground, else the usual share of stature.
func (d *deriver) releaseHeight() (quantity.Value, source, bool) {
	h := d.set.Stature
	if h.X == 0 {
		return quantity.Value{}, source{}, false
	}
	for i := range d.scenes {
		sc := &d.scenes[i]
		if sc.cam.View == Beside && d.has(sc) && sc.seen(Release, Ball) {
			if v, x, ground := d.above(sc, Release, Ball); ground != JointCount {
				v.times(h.X)
				v.addAll(h, x)
				return v.cut(x * h.X), fromFlightMarked, true
			}
		}
	}
	v := d.in.begin()
	v.addAll(h, releaseShare)
	v.add(d.in.release, releaseShareU*h.X)
	return v.cut(releaseShare * h.X), fromFlight, true
}

func (d *deriver) arrivalHeight() quantity.Value {
	if d.set.HasArrival {
		return d.set.ArrivalHeightM
	}
	v := d.in.begin()
	v.add(d.in.arrival, arrivalMU)
	return v.cut(arrivalM)
}

// solveSpeed inverts the flight and carries time, heights and the ball's drag
// through it, each with the half difference under its own u (JCGM 100:2008,
// 5.1.3 note 2). Drag coefficient and density act as one factor.
func (d *deriver) solveSpeed(time, release, arrival quantity.Value) (quantity.Value, bool) {
	ball := flight.Default()
	relAir := math.Hypot(ball.UCD/ball.CD, ball.URho/ball.Rho)
	ball.UCD, ball.URho = 0, 0
	speed := func(t, from, to, air float64) (float64, bool) {
		b := ball
		b.CD *= air
		throw, err := flight.SpeedFor(b, flight.Path{DistanceM: d.set.DistanceM, ReleaseM: max(0, from), TargetM: max(0, to)}, t)
		return throw.SpeedMps, err == nil && throw.Carries
	}
	t, from, to := time.X, release.X, arrival.X
	x, ok := speed(t, from, to, 1)
	if !ok {
		return quantity.Value{}, false
	}
	slope := func(u float64, at func(shift float64) (float64, bool)) float64 {
		if u == 0 {
			return 0
		}
		up, upOK := at(u)
		down, downOK := at(-u)
		switch {
		case upOK && downOK:
			return (up - down) / (2 * u)
		case upOK:
			return (up - x) / u
		case downOK:
			return (x - down) / u
		}
		return x / u
	}
	v := d.in.begin()
	v.addAll(time, slope(time.U(), func(s float64) (float64, bool) { return speed(t+s, from, to, 1) }))
	v.addAll(release, slope(release.U(), func(s float64) (float64, bool) { return speed(t, from+s, to, 1) }))
	v.addAll(arrival, slope(arrival.U(), func(s float64) (float64, bool) { return speed(t, from, to+s, 1) }))
	v.add(d.in.air, relAir*slope(relAir, func(s float64) (float64, bool) { return speed(t, from, to, 1+s) }))
	return v.cut(x), true
}
