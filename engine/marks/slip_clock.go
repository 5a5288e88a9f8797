package marks

import (
	"fmt"
	"math"
	"strconv"
)

// plausibleFPS bounds a camera's frames a second (common practice: phones
// take 24 to 240, high-speed cameras up to 2000).
var plausibleFPS = [2]float64{10, 2000}

// clock checks the frame rate and that frames and times agree.
func (f *findings) clock(sc *scene) {
	c := sc.cam
	if c.badFPS() {
		f.add("implausible-fps", "/fps", number(c.FPS)+" frames a second", fmt.Sprintf("%g to %g frames a second", plausibleFPS[0], plausibleFPS[1]),
			whyFPS(c.FPS))
	}
	if m, ok := c.frameAlone(); ok && !c.HasFPS {
		f.add("no-fps", "/frames/"+m.String(), fmt.Sprintf("frame %d and no fps", c.Frames[m].N), "fps, the camera's frames a second", "state fps, or give times in seconds instead")
	}
	for m := range MomentCount {
		if t, n := c.Times[m], c.Frames[m]; t.Seen && n.Seen && c.HasFPS && !c.badFPS() && math.Abs(t.S-float64(n.N)/c.FPS) > 1.5/c.FPS {
			f.add("frame-against-time", "/times/"+m.String(), fmt.Sprintf("%s at %s s and at frame %d, which is %s s at %s frames a second", m, number(t.S), n.N, seconds(float64(n.N)/c.FPS), number(c.FPS)),
				"one time for each moment", "give the frame or the time, not both; probably one is mistyped or the clip's frame rate varies")
		}
	}
}

func (c *Camera) badFPS() bool {
	return c.HasFPS && (c.FPS < plausibleFPS[0] || c.FPS > plausibleFPS[1])
}

func whyFPS(fps float64) string {
	switch {
	case fps > plausibleFPS[1]:
		return "probably a digit too many"
	case fps > 0 && fps < 1:
		return fmt.Sprintf("probably seconds a frame: %s of them make %s frames a second", number(fps), number(1/fps))
	}
	return "probably left empty, or a digit missing"
}

// frameAlone finds an event whose time can only come from its frame.
func (c *Camera) frameAlone() (Moment, bool) {
	for m := Catch; m < MomentCount; m++ {
		if c.Frames[m].Seen && !c.Times[m].Seen {
			return m, true
		}
	}
	return 0, false
}

// An allowed interval: the shortest and longest in s (starting values; an
// exchange of 0.4 to 1.3 s is the range a league's data page accepts of adults).
var allowed = []struct {
	name           string
	start, end     Moment
	least, longest float64
}{
	{"exchange", Catch, Release, 0.3, 4},
	{"flight", Release, Arrival, 0.3, 5},
}

// fastest bounds the mean speed of a throw, m/s (common practice: beyond any throw).
const fastest = 50.0

// intervals checks the exchange and the flight. A slowed-down clip is the
// usual reason for a long one.
func (f *findings) intervals(sc *scene, set *Setting) {
	for _, a := range allowed {
		start, end := sc.events[a.start], sc.events[a.end]
		t := end.t - start.t
		if !start.seen || !end.seen || t < 0 {
			continue // told as out of order
		}
		least := a.least
		if a.start == Release {
			least = max(least, set.DistanceM/fastest)
		}
		if t >= least && t <= a.longest {
			continue
		}
		f.add("implausible-"+a.name, f.clockPointer(sc, a.end), fmt.Sprintf("%s of %s s (%s to %s)", article(a.name), seconds(t), sc.when(a.start), sc.when(a.end)),
			fmt.Sprintf("%.3g to %.3g s", least, a.longest), whyInterval(sc, t, least, a.longest))
	}
}

func article(name string) string {
	if name == "exchange" {
		return "an exchange"
	}
	return "a " + name
}

// usual is a usual length of an exchange or a flight, s.
const usual = 1.2

// playback is the fastest rate at which slowed clips are played (common practice).
const playback = 60

// whyInterval guesses why an interval is out of range: a long one of a clip at
// a playback rate was slowed, by the factor that brings it nearest to usual.
func whyInterval(sc *scene, t, least, longest float64) string {
	switch {
	case t < least:
		return "probably a digit missing in the later mark, or fps too large"
	case !sc.cam.HasFPS || sc.cam.FPS > playback || t > 16*longest:
		return "probably a digit too many in the later mark, or fps too small"
	}
	slowed := 2.0
	for _, by := range []float64{4, 8, 16} {
		if math.Abs(math.Log(t/by/usual)) < math.Abs(math.Log(t/slowed/usual)) {
			slowed = by
		}
	}
	return fmt.Sprintf("probably fps is the playback rate of a slowed clip: filmed at %s frames a second it would be %s s", number(sc.cam.FPS*slowed), seconds(t/slowed))
}

// clockPointer is the place of a moment's time or frame below the camera.
func (f *findings) clockPointer(sc *scene, m Moment) string {
	if sc.cam.Times[m].Seen {
		return "/times/" + m.String()
	}
	return "/frames/" + m.String()
}

// when says where a moment was marked.
func (sc *scene) when(m Moment) string {
	if t := sc.cam.Times[m]; t.Seen {
		return fmt.Sprintf("%s at %s s", m, number(t.S))
	}
	return fmt.Sprintf("%s at frame %d", m, sc.cam.Frames[m].N)
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }

func seconds(x float64) string { return strconv.FormatFloat(x, 'f', 3, 64) }
