package marks

import "math"

// The points of a person in COCO order (Lin et al. 2014, Microsoft COCO:
// Common Objects in Context, person keypoints): nose, eyes, ears, shoulders,
// elbows, wrists, hips, knees, ankles, each pair left before right.
const (
	cocoLeftEar      = 3
	cocoLeftShoulder = 5
	cocoLeftElbow    = 7
	cocoLeftWrist    = 9
	cocoLeftHip      = 11
	cocoLeftKnee     = 13
	cocoLeftAnkle    = 15
)

// pairs tells which joint a pair of COCO points gives: on the throwing side,
// and on the glove side; JointCount where the rubric has none.
var pairs = [...]struct {
	left         int
	throw, glove Joint
}{
	{cocoLeftEar, EarPoint, JointCount},
	{cocoLeftShoulder, ShoulderThrow, ShoulderGlove},
	{cocoLeftElbow, ElbowThrow, JointCount},
	{cocoLeftWrist, WristThrow, JointCount},
	{cocoLeftKnee, KneeBack, KneeFront},
	{cocoLeftAnkle, AnkleBack, AnkleFront},
}

// readJoints places what was marked. A clicked point beats a moment's
// keypoints, and these beat the track.
func (sc *scene) readJoints(throws string) {
	if throws != "" { // without it, left and right are told as a slip
		sc.readTrack(throws)
	}
	for m := range MomentCount {
		if p := sc.cam.Keypoints[m]; p != nil && throws != "" {
			sc.placePerson(m, p, throws)
		}
		if p := sc.cam.Points[m]; p != nil {
			for j := range JointCount {
				if p[j].Seen {
					sc.place(m, j, p[j].X, p[j].Y, sc.uPx)
				}
			}
		}
	}
}

// placePerson places a person's joints; right-handers throw with the point
// behind the left one.
func (sc *scene) placePerson(m Moment, p *Person, throws string) {
	right := 0
	if throws == "right" {
		right = 1
	}
	for _, pair := range pairs {
		sc.placePoint(m, pair.throw, p[pair.left+right])
		if pair.glove != JointCount {
			sc.placePoint(m, pair.glove, p[pair.left+1-right])
		}
	}
	sc.placeHip(m, p[cocoLeftHip], p[cocoLeftHip+1])
}

func (sc *scene) placePoint(m Moment, j Joint, k Keypoint) {
	if k.V != 0 {
		sc.place(m, j, k.X, k.Y, sc.uOf(k))
	}
}

// placeHip takes the middle between the hips where both are seen.
func (sc *scene) placeHip(m Moment, a, b Keypoint) {
	switch {
	case a.V != 0 && b.V != 0:
		sc.place(m, Hip, (a.X+b.X)/2, (a.Y+b.Y)/2, math.Hypot(sc.uOf(a), sc.uOf(b))/2)
	case a.V != 0:
		sc.placePoint(m, Hip, a)
	default:
		sc.placePoint(m, Hip, b)
	}
}

// uOf doubles the uncertainty of a point that is hidden and only placed.
func (sc *scene) uOf(k Keypoint) float64 {
	if k.V == 1 {
		return 2 * sc.uPx
	}
	return sc.uPx
}
