package marks

import (
	"fmt"
	"math"

	"rootcue/engine/body"
)

// plausibleStature bounds a player's standing height, m.
var plausibleStature = [2]float64{0.9, 2.2}

// segments are stretches of the body with their lengths as shares of stature
// (Drillis & Contini 1966). The picture shows a stretch at most as long as it
// is, so the longest of them bounds the stature from below. A bent one, such as
// hip to ankle, cannot show that a stature is too small.
var segments = []struct {
	a, b  Joint
	share float64
	kind  int // bit; 0 for a bent one
}{
	{ShoulderThrow, Hip, body.ShoulderHeight - body.HipHeight, 1},
	{ShoulderGlove, Hip, body.ShoulderHeight - body.HipHeight, 1},
	{Hip, KneeBack, body.HipHeight - body.KneeHeight, 2},
	{Hip, KneeFront, body.HipHeight - body.KneeHeight, 2},
	{KneeBack, AnkleBack, body.KneeHeight - body.AnkleHeight, 4},
	{KneeFront, AnkleFront, body.KneeHeight - body.AnkleHeight, 4},
	{ShoulderThrow, ElbowThrow, body.UpperArm, 8},
	{Hip, AnkleBack, body.HipHeight - body.AnkleHeight, 0},
	{Hip, AnkleFront, body.HipHeight - body.AnkleHeight, 0},
}

// Too small a stature is told with one kind of segment only if it is half of
// what can be: a limb pointing at the camera looks short.
const foreshortened = 0.5

// zeroScale checks that the scale has a length.
func (f *findings) zeroScale(sc *scene) {
	switch s := sc.cam.Scale; {
	case s == nil:
	case s.From == s.To:
		f.add("zero-scale", "/scale", fmt.Sprintf("both ends of the scale at [%s, %s]", number(s.From[0]), number(s.From[1])), "two different points", "probably the same point was clicked twice")
	case s.Length <= 0:
		f.add("zero-scale", "/scale/length", fmt.Sprintf("a scale of %s m", number(s.Length)), "a length above 0", "probably left empty: state how long the stretch between the two ends is")
	}
}

// scale checks that the player whom the scale makes of the marked body could
// exist.
func (f *findings) scale(sc *scene) {
	s := sc.cam.Scale
	if s == nil {
		return
	}
	h, u, kinds := sc.impliedStature()
	least := plausibleStature[0]
	if kinds&(kinds-1) == 0 {
		least *= foreshortened
	}
	wanted := fmt.Sprintf("a scale that makes the player %g to %g m tall", plausibleStature[0], plausibleStature[1])
	switch {
	case h-2*u > plausibleStature[1]:
		f.add("implausible-scale", "/scale", fmt.Sprintf("a scale by which the marked body is at least %.2f m tall", h), wanted, f.whyScale(s))
	case kinds != 0 && h+2*u < least:
		f.add("implausible-scale", "/scale", fmt.Sprintf("a scale by which the marked body is only %.2f m tall", h), wanted, f.whyScale(s))
	}
}

func (f *findings) whyScale(s *Scale) string {
	return fmt.Sprintf("%s m between the two ends: probably the length's unit, or one of its ends, is wrong", number(s.Length))
}

// impliedStature is the stature that the longest segment needs at least, with
// its standard uncertainty, m, and the kinds of straight segments marked.
func (sc *scene) impliedStature() (h, u float64, kinds int) {
	for m := range MomentCount {
		at := &sc.marks[m]
		for _, s := range segments {
			a, b := at[s.a], at[s.b]
			if !a.seen || !b.seen {
				continue
			}
			kinds |= s.kind
			if got := sc.perPx * math.Hypot(a.x-b.x, a.y-b.y) / s.share; got > h {
				h, u = got, sc.perPx*math.Hypot(a.u, b.u)/s.share
			}
		}
	}
	return h, u, kinds
}
