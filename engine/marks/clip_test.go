package marks

import (
	"bytes"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
)

// The moments between which the body moves, and those between which the ball does.
var (
	bodyMoves = []Moment{Set, Catch, Transfer, BallBack, FrontFootPlant, Release}
	ballMoves = []Moment{Set, Catch, Transfer, BallLow, BallBack, Ear, Release}
)

// at moves every joint smoothly from moment to moment, at rest in each; the
// throwing arm goes with the ball.
func (t *throw) at(s float64) (joints [JointCount]vec, glove vec) {
	a, b, f := t.during(s, bodyMoves)
	for j := range joints {
		joints[j] = t.joints[a][j].toward(t.joints[b][j], f)
	}
	glove = t.gloves[a].toward(t.gloves[b], f)
	a, b, f = t.during(s, ballMoves)
	for _, j := range []Joint{Ball, WristThrow, ElbowThrow} {
		joints[j] = t.joints[a][j].toward(t.joints[b][j], f)
	}
	return joints, glove
}

// during finds the two moments around a time and how far the motion between
// them has come.
func (t *throw) during(s float64, moves []Moment) (a, b Moment, f float64) {
	i := 0
	for i < len(moves)-2 && s > t.times[moves[i+1]] {
		i++
	}
	a, b = moves[i], moves[i+1]
	f = math.Max(0, math.Min(1, (s-t.times[a])/(t.times[b]-t.times[a])))
	return a, b, f * f * (3 - 2*f)
}

// person is the figure as a pose detector gives it: 17 points in COCO order
// and the ball. The two hips are seen a little apart, eyes and nose not at all.
func (c *rig) person(t *throw, s float64, noise func() float64) TrackFrame {
	joints, glove := t.at(s)
	elbow := joints[ShoulderGlove].toward(glove, 0.5)
	hips := [2]vec{joints[Hip].plus(vec{0.04, 0, 0}), joints[Hip].plus(vec{-0.04, 0, 0})}
	var f TrackFrame
	right := 0
	if t.right {
		right = 1
	}
	put := func(i int, v vec) {
		x, y := c.project(v)
		f.Person[i] = Keypoint{math.Round(x + noise()), math.Round(y + noise()), 2}
	}
	for _, p := range []struct {
		left         int
		throw, glove vec
	}{
		{cocoLeftEar, joints[EarPoint], joints[EarPoint]}, {cocoLeftShoulder, joints[ShoulderThrow], joints[ShoulderGlove]},
		{cocoLeftElbow, joints[ElbowThrow], elbow}, {cocoLeftWrist, joints[WristThrow], glove}, {cocoLeftHip, hips[0], hips[1]},
		{cocoLeftKnee, joints[KneeBack], joints[KneeFront]}, {cocoLeftAnkle, joints[AnkleBack], joints[AnkleFront]},
	} {
		put(p.left+right, p.throw)
		put(p.left+1-right, p.glove)
	}
	x, y := c.project(joints[Ball])
	f.Ball = Keypoint{math.Round(x + noise()), math.Round(y + noise()), 2}
	return f
}

// track films the figure frame by frame, from a frame before each event to one
// after, and all of them from the change of hands to the front foot's landing.
func (c *rig) track(t *throw, noise func() float64) {
	wanted := map[int]bool{}
	for m := Set; m <= Release; m++ {
		n := int(math.Round(t.times[m] * c.FPS))
		if m != BallLow && m != BallBack { // these the engine finds
			c.Frames[m] = Frame{n, true}
		}
		for _, k := range []int{n - 1, n, n + 1} {
			wanted[k] = true
		}
	}
	for n := c.Frames[Transfer].N; n <= c.Frames[FrontFootPlant].N; n++ {
		wanted[n] = true
	}
	for _, n := range slices.Sorted(maps.Keys(wanted)) {
		f := c.person(t, float64(n)/c.FPS, noise)
		f.Frame = n
		c.Track = append(c.Track, f)
	}
}

// trackThrow is the invented player of testdata/marks/track.json, filmed with
// 2 px of noise at 120 frames a second.
func trackThrow() (*throw, Camera) {
	for seed := uint64(1); ; seed++ {
		r := rand.New(rand.NewPCG(seed, 14))
		t := newThrow(r, true)
		if t.truth["drawback"] > 0.28 || t.truth["stride_length"] > 0.45 || t.stature < 1.58 || t.stature > 1.66 {
			continue
		}
		f := filming{fps: 120, uPx: 2, ground: true}
		c := newCamera(f, Beside, "", r)
		c.point(t, f, r, Set, Ground)
		c.point(t, f, r, Transfer, Ground)
		c.point(t, f, r, FrontFootPlant, Ground)
		c.point(t, f, r, Release, Ground)
		noise := rand.New(rand.NewPCG(seed, 15))
		c.track(t, func() float64 { return 2 * noise.NormFloat64() })
		c.Frames[Arrival] = Frame{int(math.Round(t.times[Arrival] * c.FPS)), true}
		return t, c.Camera
	}
}

// document writes the throw as a complete observation.
func document(t *throw, c *Camera) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, `{"rubric": "throw-to-second", "player": {"ref": "P-2001", "age": 14, "stature_cm": %.1f, "throws": "right"}, "on": "2026-05-09",`+"\n", 100*t.stature)
	fmt.Fprintf(&b, ` "conditions": {"base_path": {"value": 80, "unit": "ft"}},`+"\n")
	fmt.Fprintf(&b, ` "reps": [{"rep": 1, "clip": "invented/1", "marks": {"view": "side", "fps": %g, "toward": "%s", "picture": [%g, %g], "u_px": %g,`+"\n", c.FPS, c.Toward, c.Picture[0], c.Picture[1], c.UPx)
	fmt.Fprintf(&b, `  "scale": {"from": [%g, %g], "to": [%g, %g], "length": {"value": %g, "u": 0.5, "unit": "cm"}},`+"\n", c.Scale.From[0], c.Scale.From[1], c.Scale.To[0], c.Scale.To[1], 100*c.Scale.Length)
	b.WriteString(`  "frames": {` + list(func(yield func(string)) {
		for m := range MomentCount {
			if c.Frames[m].Seen {
				yield(fmt.Sprintf(`"%s": %d`, m, c.Frames[m].N))
			}
		}
	}, ", ") + "},\n" + `  "points": {` + list(func(yield func(string)) {
		for m := range MomentCount {
			if c.Points[m] != nil {
				yield(fmt.Sprintf(`"%s": {"ground": [%g, %g]}`, m, c.Points[m][Ground].X, c.Points[m][Ground].Y))
			}
		}
	}, ", ") + "},\n" + `  "track": {` + "\n   " + list(func(yield func(string)) {
		for i := range c.Track {
			yield(strconv.Quote(strconv.Itoa(c.Track[i].Frame)) + ": " + c.Track[i].numbers())
		}
	}, ",\n   ") + "}}}]}\n")
	return b.Bytes()
}

func (f *TrackFrame) numbers() string {
	return "[" + list(func(yield func(string)) {
		for k := range personPoints + 1 {
			p := f.point(k)
			yield(fmt.Sprintf("%g,%g,%d", p.X, p.Y, p.V))
		}
	}, ",") + "]"
}

func list(each func(yield func(string)), between string) string {
	var b bytes.Buffer
	each(func(s string) {
		if b.Len() > 0 {
			b.WriteString(between)
		}
		b.WriteString(s)
	})
	return b.String()
}
