package marks

import (
	"math"
	"math/rand/v2"

	"rootcue/engine/body"
	"rootcue/engine/flight"
	"rootcue/engine/quantity"
)

// The stick figure: a thrower made of segments of known length, moved through
// a throw whose measures are known because they are what it is built from. It
// is seen by cameras that err in the ways the uncertainties claim.

// A vec is a place in metres: x toward the target, y up, z to the catcher's right.
type vec struct{ x, y, z float64 }

func (a vec) plus(b vec) vec              { return vec{a.x + b.x, a.y + b.y, a.z + b.z} }
func (a vec) scaled(c float64) vec        { return vec{a.x * c, a.y * c, a.z * c} }
func (a vec) distance(b vec) float64      { return math.Hypot(a.x-b.x, a.y-b.y) } // as seen from the side
func (a vec) toward(b vec, f float64) vec { return a.scaled(1 - f).plus(b.scaled(f)) }

// A throw is one rep of a stick figure; Right is the throwing hand.
type throw struct {
	right   bool
	stature float64 // m
	times   [MomentCount]float64
	joints  [MomentCount][JointCount]vec
	gloves  [MomentCount]vec // the glove-side wrist
	truth   map[string]float64
	setting Setting
}

// a posture is the body at one moment, in shares of stature; yaw 0 is square
// to the target, positive with the throwing shoulder farther.
type posture struct {
	hip, ankleBack, ankleFront vec
	lean, yaw, tilt            float64 // radians
}

// The lengths of the figure's leg are those of the tables, so that the bend of
// its knees follows from where hip and ankles are.
const (
	thigh = body.HipHeight - body.KneeHeight
	shank = body.KneeHeight - body.AnkleHeight
)

// knee is where thigh and shank meet, bent toward the target.
func knee(hip, ankle vec) vec {
	dx, dy := ankle.x-hip.x, ankle.y-hip.y
	r := math.Hypot(dx, dy)
	along := (thigh*thigh - shank*shank + r*r) / (2 * r)
	across := math.Sqrt(thigh*thigh - along*along)
	return vec{hip.x + along*dx/r - across*dy/r, hip.y + along*dy/r + across*dx/r, (hip.z + ankle.z) / 2}
}

// bend is 180° less the angle at the knee, by the law of cosines.
func bend(hip, ankle vec) float64 {
	r := hip.distance(ankle)
	return 180 - math.Acos((thigh*thigh+shank*shank-r*r)/(2*thigh*shank))*180/math.Pi
}

func (t *throw) stand(m Moment, p posture, breadth float64) {
	j := &t.joints[m]
	up := vec{math.Sin(p.lean), math.Cos(p.lean), 0}
	neck := p.hip.plus(up.scaled(body.ShoulderHeight - body.HipHeight))
	across := vec{-math.Sin(p.yaw) * math.Cos(p.tilt), math.Sin(p.tilt), math.Cos(p.yaw) * math.Cos(p.tilt)}
	j[Hip], j[AnkleBack], j[AnkleFront] = p.hip, p.ankleBack, p.ankleFront
	j[KneeBack], j[KneeFront] = knee(p.hip, p.ankleBack), knee(p.hip, p.ankleFront)
	j[ShoulderThrow], j[ShoulderGlove] = neck.plus(across.scaled(breadth/2)), neck.plus(across.scaled(-breadth/2))
	j[EarPoint] = neck.plus(up.scaled(0.107))
	j[ToeBack], j[ToeFront] = p.ankleBack.plus(vec{0.1, -0.02, 0}), p.ankleFront.plus(vec{0.1, -0.02, 0})
}

// newThrow draws a thrower and a throw.
func newThrow(r *rand.Rand, right bool) *throw {
	in := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	t := &throw{right: right, stature: in(1.35, 1.8), truth: map[string]float64{}}
	ankle := body.AnkleHeight + ankleU*r.NormFloat64()
	breadth := body.ShoulderBreadth * (1 + body.ShoulderBreadthU*r.NormFloat64())
	foot := func(x, z float64) vec { return vec{x, ankle, z} }

	stagger, turn, step, stride := in(0.02, 0.15), in(-5, 30), in(0.2, 0.3), in(0.32, 0.48)
	side1, side2 := in(0.03, 0.1), in(0.03, 0.12)
	hipSet, hipTransfer, hipPlant := in(0.25, 0.38), in(0.35, 0.45), in(0.37, 0.42)
	set := posture{vec{0, hipSet, 0}, foot(-stagger, 0.13), foot(0, -0.13), in(0.3, 0.6), turn * math.Pi / 180, 0}
	catch := set
	transfer := posture{vec{0.1, hipTransfer, 0}, foot(0.02, 0.1), foot(0.05, -0.1), in(0.2, 0.4), 0.7, 0}
	back := posture{vec{0.2, hipTransfer, 0}, foot(0.12+step, side1), foot(0.12, 0), in(0, 0.2), 1.3, 0}
	plant := posture{vec{0.31 + stride*in(0.45, 0.55), hipPlant, 0}, foot(0.31, 0), foot(0.31+stride, side2), in(-0.1, 0.1), 1.4, 0}
	release := plant
	release.hip.x += 0.05
	release.yaw, release.tilt = 0, in(-0.5, 0.5)
	for m, p := range map[Moment]posture{Set: set, Catch: catch, Transfer: transfer, BallLow: transfer, BallBack: back, Ear: back, BackFootPlant: back, FrontFootPlant: plant, Release: release, Arrival: release} {
		t.stand(m, p, breadth)
	}
	t.truth["hip_height_set"], t.truth["hip_height_transfer"], t.truth["hip_height_plant"] = hipSet, hipTransfer, hipPlant
	t.truth["foot_stagger_set"], t.truth["stride_length"], t.truth["shoulder_turn_set"] = stagger, stride, turn
	t.truth["knee_bend_plant"], t.truth["front_knee_bend_plant"] = bend(plant.hip, plant.ankleBack), bend(plant.hip, plant.ankleFront)
	t.truth["first_step_off_line"], t.truth["stride_off_line"] = math.Atan(side1/step)*180/math.Pi, math.Atan(side2/stride)*180/math.Pi
	t.moveBall(in)
	t.mirrorAndGrow()
	t.drawTimes(r, in)
	return t
}

// moveBall lays the ball's way through the figure.
func (t *throw) moveBall(in func(lo, hi float64) float64) {
	height, drop, draw, elbow := in(-0.15, -0.05), in(0.03, 0.1), in(0.2, 0.4), in(-0.1, 0.1)
	j := &t.joints
	at := vec{j[Transfer][ShoulderThrow].x + in(0, 0.08), j[Transfer][ShoulderThrow].y + height, 0.1}
	ear := j[BallBack][EarPoint]
	c, b, e := vec{in(0.35, 0.5), in(0.4, 0.6), 0}, vec{ear.x - draw, ear.y + in(-0.1, 0.1), 0.1}, vec{ear.x + in(-0.05, 0.02), ear.y + in(0.03, 0.1), 0.1}
	j[Set][Ball], j[Catch][Ball], j[Transfer][Ball], j[BallBack][Ball], j[Ear][Ball] = c, c, at, b, e
	j[BallLow][Ball] = at.plus(vec{-0.1, -drop, 0})
	j[BackFootPlant][Ball], j[FrontFootPlant][Ball] = b, b.toward(e, 0.5)
	j[Release][Ball] = vec{j[Release][EarPoint].x + 0.2, 0.95 + in(-0.1, 0.05), 0.15}
	j[Arrival][Ball] = j[Release][Ball]
	for m := range MomentCount {
		j[m][Mitt] = c
		wrist := j[m][Ball].plus(vec{-0.05, -0.06, 0})
		j[m][WristThrow], t.gloves[m] = wrist, c.plus(vec{-0.1, 0, -0.05})
		j[m][ElbowThrow] = j[m][ShoulderThrow].toward(wrist, 0.5)
	}
	a := j[Release][ShoulderThrow].plus(j[Release][ShoulderGlove].scaled(-1))
	along := a.scaled(1 / math.Hypot(a.y, a.z))
	j[Release][ElbowThrow] = j[Release][ShoulderThrow].plus(along.scaled(in(0.1, 0.17))).plus(vec{0.1, along.z * elbow, -along.y * elbow})
	t.truth["transfer_height"], t.truth["ball_drop"], t.truth["drawback"], t.truth["elbow_height_release"] = height, drop, draw, elbow
	ct, te, tb, be, ce := c.distance(at), at.distance(e), at.distance(b), b.distance(e), c.distance(e)
	t.truth["hand_path"], t.truth["straight_path"] = ct+tb+be, ce
	t.truth["low_detour"], t.truth["back_detour"] = ct+te-ce, tb+be-te
}

// mirrorAndGrow makes a left-hander of a right-hander, and metres of shares.
func (t *throw) mirrorAndGrow() {
	side := 1.0
	if !t.right {
		side = -1
	}
	for m := range MomentCount {
		for j := range JointCount {
			v := t.joints[m][j].scaled(t.stature)
			t.joints[m][j] = vec{v.x, v.y, side * v.z}
		}
		g := t.gloves[m].scaled(t.stature)
		t.gloves[m] = vec{g.x, g.y, side * g.z}
	}
}

// drawTimes draws the events and a flight whose ball and heights err as the
// engine supposes.
func (t *throw) drawTimes(r *rand.Rand, in func(lo, hi float64) float64) {
	at := &t.times
	at[Set] = in(0, 1)
	at[Catch] = at[Set] + in(0.2, 0.5)
	at[Transfer] = at[Catch] + in(0.2, 0.4)
	at[BallLow] = at[Transfer] + in(0.08, 0.15)
	at[BackFootPlant] = at[Transfer] + in(-0.1, 0.1)
	at[BallBack] = at[BallLow] + in(0.08, 0.15)
	at[Ear] = at[BallBack] + in(0.08, 0.15)
	at[FrontFootPlant] = at[BallBack] + in(0.08, 0.2)
	at[Release] = at[FrontFootPlant] + in(0.15, 0.25)
	t.setting = Setting{Throws: map[bool]string{true: "right", false: "left"}[t.right], Stature: quantity.Value{X: t.stature}, DistanceM: 34.5}
	ball := flight.Default()
	ball.UCD, ball.URho = 0, 0
	for {
		cd := ball
		cd.CD *= max(0.1, 1+math.Hypot(0.05/0.35, 0.04/1.2)*r.NormFloat64())
		release := t.stature * (releaseShare + releaseShareU*r.NormFloat64())
		speed := in(24, 34)
		f, err := flight.Solve(cd, flight.Path{DistanceM: 34.5, ReleaseM: release, TargetM: max(0, arrivalM+arrivalMU*r.NormFloat64())}, speed)
		if err == nil && f.Carries {
			at[Arrival] = at[Release] + f.TimeS
			t.truth["throw_speed"] = speed
			break
		}
	}
	for name, pair := range map[string][2]Moment{
		"change_time": {Catch, Transfer}, "ear_time": {Transfer, Ear}, "throw_time": {Ear, Release}, "feet_lag": {Transfer, BackFootPlant},
		"landing_time": {Catch, FrontFootPlant}, "plant_to_release": {FrontFootPlant, Release}, "exchange_time": {Catch, Release}, "flight_time": {Release, Arrival}, "pop_time": {Catch, Arrival},
	} {
		t.truth[name] = at[pair[1]] - at[pair[0]]
	}
}
