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

// solveSpeed inverts the flight. The sensitivities to time, heights and drag
// come from the flat throw's closed form, whose slopes differ from the full
// model's by a few per cent up to 25°, which is far less than u needs. Each is
// the half difference under its own u (JCGM 100:2008, 5.1.3 note 2). Drag
// coefficient and density act as one factor.
func (d *deriver) solveSpeed(time, release, arrival quantity.Value) (quantity.Value, bool) {
	ball := flight.Default()
	air := math.Hypot(ball.UCD/ball.CD, ball.URho/ball.Rho)
	ball.UCD, ball.URho = 0, 0
	path := flight.Path{DistanceM: d.set.DistanceM, ReleaseM: max(0, release.X), TargetM: max(0, arrival.X)}
	throw, err := flight.SpeedFor(ball, path, time.X)
	if err != nil || !throw.Carries {
		return quantity.Value{}, false
	}
	f := flat{distance: path.DistanceM, rise: path.TargetM - path.ReleaseM, drag: dragOf(ball), time: time.X}
	v := d.in.begin()
	v.addAll(time, f.slope(&f.time, time.U()))
	v.addAll(release, -f.slope(&f.rise, release.U()))
	v.addAll(arrival, f.slope(&f.rise, arrival.U()))
	v.add(d.in.air, f.slope(&f.drag, air*f.drag)*air*f.drag)
	return v.cut(throw.SpeedMps), true
}

// A flat throw is one whose speed along the ground falls as e^{−kx}.
type flat struct {
	distance, rise, drag, time float64 // m, m, 1/m, s
}

// speed is the launch speed: v_x = (e^{kx} − 1)/(kt) along the ground and the
// launch slope that makes up for the fall g(e^{2kx} − 1 − 2kx)/(4k²v_x²).
func (f *flat) speed() float64 {
	k, x := f.drag, f.distance
	along := math.Expm1(k*x) / (k * f.time)
	fall := flight.Gravity * (math.Expm1(2*k*x) - 2*k*x) / (4 * k * k * along * along)
	return along * math.Hypot(1, (f.rise+fall)/x)
}

// slope of the speed under one of the throw's parts, over ± its u.
func (f *flat) slope(part *float64, u float64) float64 {
	if u == 0 {
		return 0
	}
	x := *part
	*part = x + u
	up := f.speed()
	*part = x - u
	down := f.speed()
	*part = x
	return (up - down) / (2 * u)
}

// dragOf is k of the deceleration k·v², 1/m: ½ρC_D A/m.
func dragOf(b flight.Ball) float64 {
	area := b.CircumferenceM * b.CircumferenceM / (4 * math.Pi)
	return b.Rho * b.CD * area / (2 * b.MassKg)
}
