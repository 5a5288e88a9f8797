package marks

import (
	"fmt"
	"math"
)

// squared are pairs of joints that show, from behind or ahead, on which side
// the throwing hand is: the chest still, or again, faces the target.
var squared = []struct {
	m            Moment
	throw, glove Joint
}{
	{Set, ShoulderThrow, ShoulderGlove},
	{Set, AnkleBack, AnkleFront},
	{Catch, ShoulderThrow, ShoulderGlove},
	{Release, ShoulderThrow, ShoulderGlove},
}

// swapped checks that left and right of the body were not exchanged.
func (f *findings) swapped(sc *scene, throws string) {
	if sc.cam.View != Beside && throws != "" {
		f.wrongSide(sc, throws)
	}
	if sc.cam.View != Beside {
		f.wrongShoulder(sc)
	}
	if throws != "" {
		f.wrongWrist(sc, throws)
	}
}

// wrongSide: a right-hander's throwing side is on the right of a picture from
// behind and on the left of one from ahead.
func (f *findings) wrongSide(sc *scene, throws string) {
	right := 1.0
	if (throws == "left") != (sc.cam.View == Ahead) {
		right = -1
	}
	for _, p := range squared {
		a, b := sc.marks[p.m][p.glove], sc.marks[p.m][p.throw]
		if a.seen && b.seen && right*(b.x-a.x) < -surely*math.Hypot(a.u, b.u) {
			wanted := map[bool]string{true: "right", false: "left"}[right > 0]
			f.add("left-right-swapped", "/"+sc.markedIn(p.m, p.throw)+"/"+p.m.String(),
				fmt.Sprintf("%s to the %s of %s at %s, seen from %s", p.throw, otherSide(wanted), p.glove, p.m, sc.cam.View.eye()),
				fmt.Sprintf("the %s-hander's throwing side on the %s", throws, wanted),
				"probably left and right are swapped, player.throws is wrong, or the view is the other one")
			return
		}
	}
}

func otherSide(side string) string {
	if side == "right" {
		return "left"
	}
	return "right"
}

func (v View) eye() string {
	return [...]string{Beside: "the side", Behind: "behind", Ahead: "ahead"}[v]
}

// markedIn names the key that holds a mark.
func (sc *scene) markedIn(m Moment, j Joint) string {
	switch {
	case sc.cam.Points[m] != nil && sc.cam.Points[m][j].Seen:
		return "points"
	case sc.cam.Keypoints[m] != nil:
		return "keypoints"
	}
	return "frames"
}

// wrongShoulder: an elbow is nearer to its own shoulder. At release the two
// are told apart surely only when the other shoulder is at most half as far.
func (f *findings) wrongShoulder(sc *scene) {
	const m = Release
	if !sc.seen(m, ElbowThrow, ShoulderThrow, ShoulderGlove) {
		return
	}
	at := &sc.marks[m]
	own, other := apart(at[ElbowThrow], at[ShoulderThrow]), apart(at[ElbowThrow], at[ShoulderGlove])
	if other < own/2 && own-other > surely*math.Hypot(at[ShoulderThrow].u, at[ShoulderGlove].u) {
		f.add("left-right-swapped", "/"+sc.markedIn(m, ShoulderThrow)+"/release", fmt.Sprintf("elbow_throw %.0f px from shoulder_throw and %.0f px from shoulder_glove at release", own, other),
			"the throwing elbow nearer to its own shoulder", "probably the two shoulders are swapped")
	}
}

// wrongWrist: the hand that holds the ball at the ear is the throwing hand.
func (f *findings) wrongWrist(sc *scene, throws string) {
	for _, m := range [...]Moment{BallBack, Ear, Release} {
		p := sc.person(m)
		if p == nil || !sc.marks[m][Ball].seen {
			continue
		}
		own, other := p[cocoLeftWrist], p[cocoLeftWrist+1]
		if throws == "right" {
			own, other = other, own
		}
		ball := sc.marks[m][Ball]
		dOwn, dOther := sc.reach(own, ball), sc.reach(other, ball)
		if own.V != 0 && other.V != 0 && dOther < dOwn/2 && dOwn-dOther > surely*math.Sqrt2*sc.uPx {
			f.add("left-right-swapped", "/keypoints/"+m.String(), fmt.Sprintf("the ball %.0f px from the throwing wrist and %.0f px from the other at %s", dOwn, dOther, m),
				fmt.Sprintf("the ball in the %s-hander's throwing hand", throws), "probably player.throws is wrong, or the detector swapped left and right")
			return
		}
	}
}

// person is the person at a moment as the detector saw it, nil without one.
func (sc *scene) person(m Moment) *Person {
	return sc.cam.Keypoints[m]
}

// reach is the distance in px from a keypoint to a mark.
func (sc *scene) reach(k Keypoint, to mark) float64 {
	x := k.X
	if sc.ahead < 0 {
		x = -x
	}
	return math.Hypot(x-to.x, -k.Y-to.y)
}

func apart(a, b mark) float64 { return math.Hypot(a.x-b.x, a.y-b.y) }
