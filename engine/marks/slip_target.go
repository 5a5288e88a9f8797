package marks

import (
	"fmt"
	"math"
)

// backward is how far, in m, a foot or the ball must go away from the target
// before the target is taken to be on the other side.
const backward = 0.15

// motions are what goes toward the target in every throw: the front foot
// lands ahead of the back one, it does not step back, and the ball leaves the
// hand ahead of where it was held back.
var motions = []struct {
	from, to spot
	feet     bool
	says     string
}{
	{spot{FrontFootPlant, AnkleBack}, spot{FrontFootPlant, AnkleFront}, true, "the front foot landing %.2f m behind the back foot"},
	{spot{Set, AnkleFront}, spot{FrontFootPlant, AnkleFront}, true, "the front foot landing %.2f m behind where it stood at set"},
	{spot{BallBack, Ball}, spot{Release, Ball}, false, "the ball at release %.2f m behind where it was at ball_back"},
	{spot{Ear, Ball}, spot{Release, Ball}, false, "the ball at release %.2f m behind where it was at ear"},
}

// target checks the side of the target against the motion of feet and ball.
func (f *findings) target(sc *scene) {
	if sc.cam.View != Beside || sc.ahead == 0 || sc.perPx == 0 {
		return
	}
	ballForward, feetForward := false, false
	wrong := -1
	back := 0.0
	for i, mo := range motions {
		if !sc.seen(mo.from.m, mo.from.j) || !sc.seen(mo.to.m, mo.to.j) {
			continue
		}
		a, b := sc.marks[mo.from.m][mo.from.j], sc.marks[mo.to.m][mo.to.j]
		gone := sc.perPx * (b.x - a.x)
		sure := max(backward, surely*sc.perPx*math.Hypot(a.u, b.u))
		switch {
		case gone < -sure && wrong < 0:
			wrong, back = i, -gone
		case gone > sure && mo.feet:
			feetForward = true
		case gone > sure:
			ballForward = true
		}
	}
	if wrong < 0 {
		return
	}
	found := fmt.Sprintf(`toward %q, but `+motions[wrong].says, sc.cam.Toward, back)
	other := Left + Right - sc.cam.Toward
	switch {
	case motions[wrong].feet && ballForward:
		f.add("feet-swapped", "/"+sc.markedIn(motions[wrong].to.m, AnkleFront)+"/"+motions[wrong].to.m.String(), found, "the front (glove-side) foot nearer to the target", "the ball goes to the "+sc.cam.Toward.String()+": probably the back and the front foot are swapped")
	case feetForward:
		f.add("target-side", "/toward", found, "feet and ball that go toward the target", "the feet go to the "+sc.cam.Toward.String()+": probably that mark, or the moments of the two, are swapped")
	default:
		f.add("target-side", "/toward", found, "the side of the picture on which the target lies", fmt.Sprintf("probably the target lies to the %s", other))
	}
}
