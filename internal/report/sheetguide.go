package report

import (
	"fmt"
	"math"

	"rootcue/engine/marks"
)

// sheetCautions stand first on every field sheet.
var sheetCautions = []string{
	"Film a young player only with the consent of a parent or guardian, by the club's rules on pictures of minors, and keep clips no longer than they are needed.",
	"No camera, tripod, pole or person in a throwing lane, behind the plate without a backstop or net, or where a runner or a missed ball can go. Weigh tripods down.",
	"Clear the lane to the bag before each throw: the receiver ready, everyone else behind a screen.",
	"Pain, numbness, swelling or tiredness in the arm ends throwing: tell the parent or guardian. Full gear for every live pitch.",
	"This is coaching information, not medical advice and no clearance. League rules, the governing body's limits and a licensed clinician or athletic trainer come first.",
}

// cameraPlaces say where each camera stands (common practice).
var cameraPlaces = [...]string{
	marks.Beside: "In foul ground on the side the chest turns to (first-base side for a right-hander, third-base side for a left-hander), square to the line from plate to target, 6 to 9 m from the catcher, lens at 0.8 m. The target is then to the right of the picture for a right-hander, to the left for a left-hander.",
	marks.Behind: "Behind the backstop or net, on the line from target through plate, 4 to 7 m from the catcher, lens at 1.2 m.",
	marks.Ahead:  "Only in dry reps with no ball thrown, or as a fixed camera behind a screen: on the line from plate to target, looking back, lens at 1.2 m. Not needed when one stands behind.",
}

// sheetSetup is what to do with any camera before the first rep.
var sheetSetup = append([]string{
	"Picture upright or level, the whole player with a step of room on every side; focus and exposure locked, shutter 1/500 s or faster; no zoom and no panning once it runs.",
	"Scale: hold a straight pole of known length (1.5 m or so, measured to half a centimetre) upright where the catcher stands, for two seconds before the first rep and again whenever the camera was touched. Mark its two ends as `scale`.",
	"State as `fps` the rate the camera filmed at, not the rate at which a slowed clip plays.",
	"Mark on the paused picture, enlarged; u_px is how far two of your own markings of one point differ, about 3 px.",
}, frameRates()...)

// frameRates says what a frame rate does to a time interval: u = 1/(fps·√6)
// (JCGM 100:2008, 4.3.7).
func frameRates() []string {
	s := "Frame rate: 120 a second or more for times. One interval is then known to"
	for i, fps := range []float64{30, 60, 120, 240} {
		if i > 0 {
			s += ","
		}
		s += fmt.Sprintf(" %.1f ms at %g", 1000/(fps*math.Sqrt(6)), fps)
	}
	return []string{s + " frames a second (standard uncertainty)."}
}

// sheetMoments are the moments to find, in the order of a throw, and the points
// that the measures need there.
var sheetMoments = []SheetMoment{
	{"set", "still, as the pitch comes (dry: before the mitt moves)", []string{"hip", "ankle_back", "ankle_front", "shoulder_throw", "shoulder_glove", "ground"}, []string{"shoulder_throw", "shoulder_glove", "ankle_back", "ankle_front"}},
	{"catch", "the ball meets the mitt (dry: the mitt's first movement)", []string{"mitt"}, noPoints},
	{"transfer", "the ball leaves the mitt in the bare hand", []string{"ball", "shoulder_throw", "hip", "ground"}, noPoints},
	{"ball_low", "the ball at its lowest between the change of hands and the ear", []string{"ball"}, noPoints},
	{"back_foot_plant", "the throwing-side foot is down after the change", []string{"ankle_back", "ankle_front"}, []string{"ankle_back", "ankle_front"}},
	{"ball_back", "the ball at its farthest from the target, before the front foot lands", []string{"ball", "ear"}, noPoints},
	{"ear", "the ball passes the ear", []string{"ball"}, noPoints},
	{"front_foot_plant", "the glove-side foot lands", []string{"hip", "knee_back", "knee_front", "ankle_back", "ankle_front", "ground"}, []string{"ankle_back", "ankle_front"}},
	{"release", "the ball leaves the hand", []string{"ball", "ground"}, []string{"elbow_throw", "shoulder_throw", "shoulder_glove"}},
	{"arrival", "the ball meets the glove at the bag", noPoints, noPoints},
}

var noPoints = []string{}
