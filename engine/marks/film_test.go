package marks

import (
	"math"
	"math/rand/v2"
)

// A filming is how a throw is put on film.
type filming struct {
	fps, uPx float64
	left     bool // the target lies to the left of the picture from the side
	ahead    bool // the second camera stands ahead, not behind
	ground   bool // `ground` is marked
	noisy    bool // clicks, scale and shutter err as their uncertainties say
}

const wide, high = 1920.0, 1080.0

// film gives the marks of two cameras, one at the side and one behind or ahead.
func film(t *throw, f filming, r *rand.Rand) []Camera {
	view := Behind
	if f.ahead {
		view = Ahead
	}
	side := newCamera(f, Beside, "/0", r)
	second := newCamera(f, view, "/1", r)
	side.point(t, f, r, Set, Hip, AnkleBack, AnkleFront, ShoulderThrow, ShoulderGlove)
	side.point(t, f, r, Catch, Mitt)
	side.point(t, f, r, Transfer, Ball, ShoulderThrow, Hip, AnkleBack, AnkleFront)
	side.point(t, f, r, BallLow, Ball)
	side.point(t, f, r, BallBack, Ball, EarPoint)
	side.point(t, f, r, Ear, Ball)
	side.point(t, f, r, BackFootPlant, AnkleBack, AnkleFront)
	side.point(t, f, r, FrontFootPlant, Hip, KneeBack, KneeFront, AnkleBack, AnkleFront)
	second.point(t, f, r, BackFootPlant, AnkleBack, AnkleFront)
	second.point(t, f, r, FrontFootPlant, AnkleBack, AnkleFront)
	second.point(t, f, r, Release, ElbowThrow, ShoulderThrow, ShoulderGlove)
	if f.ground {
		for _, m := range []Moment{Set, Transfer, FrontFootPlant} {
			side.point(t, f, r, m, Ground)
		}
	}
	if f.noisy {
		side.hideShoulder(t, f, r)
	}
	side.shoot(t, f, r)
	return []Camera{side.Camera, second.Camera}
}

// A rig is a camera with its true scale.
type rig struct {
	Camera
	perPx float64 // m
}

// newCamera draws a camera 1.2 to 2 m of view to 1000 px, whose scale errs by
// its axis, its pole's stated length and the two clicks on the pole.
func newCamera(f filming, v View, at string, r *rand.Rand) *rig {
	c := &rig{Camera: Camera{At: at, View: v, FPS: f.fps, HasFPS: true, UPx: f.uPx, HasUPx: true, Picture: [2]float64{wide, high}}, perPx: 0.0024}
	c.Toward = Right
	if f.left {
		c.Toward = Left
	}
	pole := 1.5
	c.Scale = &Scale{Length: pole, U: 0.005}
	c.Scale.From, c.Scale.To = [2]float64{300, 900}, [2]float64{300, 900 - pole/c.perPx}
	if f.noisy {
		c.Scale.Length += c.Scale.U * r.NormFloat64()
		for _, end := range []*[2]float64{&c.Scale.From, &c.Scale.To} {
			end[0] = eighth(end[0] + f.uPx*r.NormFloat64())
			end[1] = eighth(end[1] + f.uPx*r.NormFloat64())
		}
		c.perPx *= 1 + axisU*r.NormFloat64() // the pole is square to the axis, the throw is not
	}
	return c
}

// project shows a place in the picture, px.
func (c *rig) project(v vec) (x, y float64) {
	switch c.View {
	case Beside:
		x = v.x
		if c.Toward == Left {
			x = -x
		}
	case Behind:
		x = v.z
	case Ahead:
		x = -v.z
	}
	return 960 + x/c.perPx, 900 - v.y/c.perPx
}

// eighth rounds to an eighth of a pixel, so that a mirrored picture holds
// exactly mirrored numbers.
func eighth(x float64) float64 { return math.Round(8*x) / 8 }

// point clicks joints at a moment.
func (c *rig) point(t *throw, f filming, r *rand.Rand, m Moment, joints ...Joint) {
	if c.Points[m] == nil {
		c.Points[m] = &Points{}
	}
	for _, j := range joints {
		x, y := c.project(t.joints[m][j])
		if f.noisy {
			x, y = x+f.uPx*r.NormFloat64(), y+f.uPx*r.NormFloat64()
		}
		c.Points[m][j] = Point{eighth(x), eighth(y), true}
	}
}

// shoot gives each event its frame of a clip whose shutter has a random phase.
func (c *rig) shoot(t *throw, f filming, r *rand.Rand) {
	phase := 0.0
	if f.noisy {
		phase = r.Float64()
	}
	for m := Catch; m < MomentCount; m++ {
		c.Frames[m] = Frame{int(math.Floor(t.times[m]*f.fps + phase)), true}
	}
}

// hideShoulder misplaces the glove shoulder at set, which the body hides, by
// what brings the uncertainty of the turn up to 5°.
func (c *rig) hideShoulder(t *throw, f filming, r *rand.Rand) {
	turn := t.truth["shoulder_turn_set"] / degree
	breadth := 0.259 * t.stature / c.perPx // px
	known := degree * math.Hypot(0.1*math.Tan(turn), math.Sqrt2*f.uPx/(breadth*math.Cos(turn)))
	if known >= 5 {
		return
	}
	e := math.Sqrt(25-known*known) / degree * r.NormFloat64()
	x, _ := c.project(vec{t.stature * 0.259 * (math.Sin(turn+e) - math.Sin(turn)), 0, 0})
	c.Points[Set][ShoulderGlove].X += eighth(x - wide/2)
}
