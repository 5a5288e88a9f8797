package marks

import (
	"math"

	"rootcue/engine/quantity"
)

// What stands in where a camera's object leaves it out; each is noted.
const (
	assumedUPx = 3.0  // px, a careful click on a paused picture (starting value)
	assumedFPS = 30.0 // frames a second, the slowest common rate (common practice)
	axisU      = 0.01 // relative: the camera's axis is never quite square to the line of throw (starting value)
)

// A mark is a point as the measures see it, px: y upward, x toward the target
// in a view from the side and to the right of the picture in the others. U is
// the standard uncertainty of each coordinate.
type mark struct {
	x, y, u float64
	seen    bool
}

// An event is a moment's time on the camera's clock, s.
type event struct {
	t    float64
	seen bool
}

// A scene is one camera as the measures see it.
type scene struct {
	cam    *Camera
	at     string // JSON Pointer of the camera
	block  quantity.Input
	uPx    float64
	perPx  float64 // metres a pixel, 0 without a scale
	relU   float64 // relative standard uncertainty of perPx
	ahead  float64 // sign of picture x toward the target; 0 where not known
	tick   float64 // standard uncertainty of one event, s
	events [MomentCount]event
	marks  [MomentCount][JointCount]mark
	placed bool // whether any point was marked
}

// read fills the scene from its camera, except for joints.
func (sc *scene) read(cam *Camera, at string, block quantity.Input) {
	*sc = scene{cam: cam, at: at, block: block, uPx: assumedUPx}
	if cam.HasUPx {
		sc.uPx = cam.UPx
	}
	sc.readScale()
	sc.readEvents()
	sc.ahead = 1
	if cam.View == Beside {
		sc.ahead = [...]float64{NoSide: 0, Left: -1, Right: 1}[cam.Toward]
	}
}

// readScale combines what makes the scale uncertain: the camera's axis, the
// stated length, and the two end points clicked, each along the line between
// them. All three are the same in every rep.
func (sc *scene) readScale() {
	s := sc.cam.Scale
	if s == nil {
		return
	}
	px := math.Hypot(s.To[0]-s.From[0], s.To[1]-s.From[1])
	if px == 0 || s.Length <= 0 {
		return // told as a slip
	}
	sc.perPx = s.Length / px
	ends := math.Sqrt2 * sc.uPx / px
	sc.relU = math.Sqrt(axisU*axisU + s.U*s.U/(s.Length*s.Length) + ends*ends)
}

// readEvents gives each event its time. A frame shows an event somewhere
// within its interval: rectangular, u = 1/(fps·√12) (JCGM 100:2008, 4.3.7).
func (sc *scene) readEvents() {
	fps := assumedFPS
	if sc.cam.HasFPS && sc.cam.FPS > 0 {
		fps = sc.cam.FPS
	}
	sc.tick = 1 / (fps * math.Sqrt(12))
	for m := range MomentCount {
		switch t, f := sc.cam.Times[m], sc.cam.Frames[m]; {
		case t.Seen:
			sc.events[m] = event{t.S, true}
		case f.Seen:
			sc.events[m] = event{float64(f.N) / fps, true}
		}
	}
}

// place puts a joint where the picture shows it.
func (sc *scene) place(m Moment, j Joint, x, y, u float64) {
	if sc.ahead < 0 {
		x = -x
	}
	sc.marks[m][j] = mark{x, -y, u, true}
	sc.placed = true
}

// seen reports whether all the joints were marked at a moment.
func (sc *scene) seen(m Moment, joints ...Joint) bool {
	for _, j := range joints {
		if !sc.marks[m][j].seen {
			return false
		}
	}
	return true
}
