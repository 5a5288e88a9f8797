package marks

import (
	"strings"
	"testing"

	"rootcue/engine/place"
	"rootcue/engine/quantity"
	"rootcue/engine/strictjson"
)

func problemsOf(cams []Camera, set Setting) []place.Problem {
	var pool quantity.Pool
	_, _, problems := Derive(cams, set, NewInputs(&pool), "/reps/0/marks")
	return problems
}

// What looks odd and is no slip is never refused: feet and hand are not
// ordered against each other, the ball may be anywhere, limits themselves are
// allowed, a foreshortened body is no wrong scale.
func TestNotRefused(t *testing.T) {
	right := Setting{Throws: "right", Stature: tall, DistanceM: 34.485}
	for name, cam := range map[string]Camera{
		"back foot down before the catch":           timed(120, map[Moment]int{Catch: 118, BackFootPlant: 100, Transfer: 155}),
		"front foot down before ball and ear":       timed(120, map[Moment]int{Transfer: 155, FrontFootPlant: 160, BallBack: 190, Ear: 206}),
		"ball farthest back after the lowest":       timed(120, map[Moment]int{Transfer: 155, BallLow: 190, BallBack: 170, Ear: 206}),
		"change of hands in the frame of the catch": timed(60, map[Moment]int{Catch: 60, Transfer: 60, Ear: 60, Release: 90}),
		"set after the catch":                       timed(60, map[Moment]int{Set: 70, Catch: 60}),
		"slowest frame rate":                        timed(10, map[Moment]int{Catch: 10, Release: 20}),
		"fastest frame rate":                        timed(2000, map[Moment]int{Catch: 10, Release: 2010}),
		"shortest exchange":                         timed(100, map[Moment]int{Catch: 0, Release: 30}),
		"longest exchange":                          timed(100, map[Moment]int{Catch: 0, Release: 400}),
		"longest flight":                            timed(100, map[Moment]int{Release: 0, Arrival: 500}),
		"ball lowest above the change":              clicks{Transfer: {Ball: {500, 500}}, BallLow: {Ball: {500, 400}}}.camera("", Beside, false),
		"ball back ahead of the ear":                clicks{BallBack: {Ball: {700, 500}, EarPoint: {500, 480}}}.camera("", Beside, false),
		"ball let go a little behind the ear":       clicks{Ear: {Ball: {500, 400}}, Release: {Ball: {460, 380}}}.camera("", Beside, false),
		"feet level at landing":                     clicks{FrontFootPlant: {AnkleBack: {500, 800}, AnkleFront: {470, 800}}}.camera("", Beside, false),
		"trunk toward the camera":                   clicks{Set: {Hip: {500, 600}, ShoulderThrow: {500, 500}}}.camera("", Beside, false),
		"shoulders in line at release, from behind": clicks{Release: {ShoulderThrow: {700, 500}, ShoulderGlove: {705, 560}}}.camera("", Behind, false),
		"points on the edge of the picture":         clicks{Set: {Hip: {0, 0}}, Catch: {Mitt: {1920, 1080}}}.camera("", Beside, false),
	} {
		if got := problemsOf([]Camera{cam}, right); len(got) > 0 {
			t.Errorf("%s: %s", name, got[0].Summary())
		}
	}
}

// One step beyond each limit is refused, by the code named.
func TestJustRefused(t *testing.T) {
	right := Setting{Throws: "right", Stature: tall, DistanceM: 34.485}
	for name, c := range map[string]struct {
		cam  Camera
		code string
	}{
		"slower frame rate":      {timed(9.99, nil), "implausible-fps"},
		"faster frame rate":      {timed(2001, nil), "implausible-fps"},
		"shorter exchange":       {timed(100, map[Moment]int{Catch: 0, Release: 29}), "implausible-exchange"},
		"longer exchange":        {timed(100, map[Moment]int{Catch: 0, Release: 401}), "implausible-exchange"},
		"shorter flight":         {timed(100, map[Moment]int{Release: 0, Arrival: 68}), "implausible-flight"}, // 34.485 m at 50 m/s: 0.69 s
		"longer flight":          {timed(100, map[Moment]int{Release: 0, Arrival: 501}), "implausible-flight"},
		"arrival with release":   {timed(100, map[Moment]int{Release: 70, Arrival: 70}), "out-of-order"},
		"catch after release":    {timed(100, map[Moment]int{Catch: 71, Release: 70}), "out-of-order"},
		"landing before change":  {timed(100, map[Moment]int{Transfer: 71, FrontFootPlant: 70}), "out-of-order"},
		"landing after release":  {timed(100, map[Moment]int{FrontFootPlant: 71, Release: 70}), "out-of-order"},
		"ball back after ear":    {timed(100, map[Moment]int{BallBack: 71, Ear: 70}), "out-of-order"},
		"ball low before change": {timed(100, map[Moment]int{Transfer: 71, BallLow: 70}), "out-of-order"},
		"ear after release":      {timed(100, map[Moment]int{Ear: 71, Release: 70}), "out-of-order"},
		"just outside":           {clicks{Set: {Hip: {1920.5, 500}}}.camera("", Beside, false), "outside-picture"},
		"feet the wrong way":     {clicks{FrontFootPlant: {AnkleBack: {570, 800}, AnkleFront: {500, 800}}}.camera("", Beside, false), "target-side"},
		"front foot steps back":  {clicks{Set: {AnkleFront: {600, 800}}, FrontFootPlant: {AnkleFront: {500, 800}}}.camera("", Beside, false), "target-side"},
		"ball the wrong way":     {clicks{BallBack: {Ball: {600, 800}}, Release: {Ball: {500, 400}}}.camera("", Beside, false), "target-side"},
		"tall body":              {clicks{Set: {Hip: {500, 900}, AnkleBack: {500, 450}}}.camera("", Beside, false), "implausible-scale"},
		"left-hander":            {clicks{Catch: {ShoulderThrow: {600, 500}, ShoulderGlove: {700, 500}}}.camera("", Behind, false), "left-right-swapped"},
	} {
		got := problemsOf([]Camera{c.cam}, right)
		if len(got) != 1 || got[0].Code != c.code {
			t.Errorf("%s: %+v, want one %s", name, got, c.code)
			continue
		}
		if !strings.HasPrefix(got[0].Pointer, "/reps/0/marks/") || got[0].Found == "" || got[0].Wanted == "" || got[0].Hint == "" {
			t.Errorf("%s: %+v does not say where, what and why", name, got[0])
		}
	}
}

// Every key is read into its field; null is not seen.
func TestRead(t *testing.T) {
	doc := `[{"view": "ahead", "fps": 59.94, "toward": "left", "picture": [1280, 720], "u_px": 2.5,
		"scale": {"from": [1, 2], "to": [3, 4], "length": {"value": 5, "u": 0.5, "unit": "ft"}},
		"frames": {"catch": 7, "ear": null}, "times": {"release": 1.25}, "points": {"set": {"hip": [10.5, 20], "mitt": null}, "ear": null},
		"keypoints": {"transfer": [1,2,2, 3,4,1, 0,0,0` + zeros(42) + `]}, "track": {"12": [9,8,2` + zeros(48) + `], "11": [5,6,1` + zeros(48) + `, 70,80,2]}},
		{"toward": null, "scale": null, "fps": null, "points": null}]`
	var cams []Camera
	if problems := strictjson.Read([]byte(doc), func(r *strictjson.Reader) { cams = Read(r) }); len(problems) > 0 {
		t.Fatalf("%+v", problems)
	}
	c := cams[0]
	if len(cams) != 2 || c.At != "/0" || cams[1].At != "/1" || c.View != Ahead || c.FPS != 59.94 || !c.HasFPS || c.Toward != Left || c.Picture != [2]float64{1280, 720} || c.UPx != 2.5 || !c.HasUPx {
		t.Errorf("%+v", c)
	}
	near(t, "length", c.Scale.Length, 1.524, 1e-12)
	near(t, "u of the length", c.Scale.U, 0.1524, 1e-12)
	if c.Scale.From != [2]float64{1, 2} || c.Scale.To != [2]float64{3, 4} || c.Frames[Catch] != (Frame{7, true}) || c.Frames[Ear].Seen || c.Times[Release] != (Time{1.25, true}) {
		t.Errorf("%+v", c)
	}
	if p := c.Points[Set]; p[Hip] != (Point{10.5, 20, true}) || p[Mitt].Seen || c.Points[Ear] != nil {
		t.Errorf("%+v", p)
	}
	if p := c.Keypoints[Transfer]; p[0] != (Keypoint{1, 2, 2}) || p[1] != (Keypoint{3, 4, 1}) || p[2].V != 0 {
		t.Errorf("%+v", p)
	}
	if len(c.Track) != 2 || c.Track[0].Frame != 11 || c.Track[0].Ball != (Keypoint{70, 80, 2}) || c.Track[1].Frame != 12 || c.Track[1].Ball.V != 0 {
		t.Errorf("%+v", c.Track)
	}
	if d := cams[1]; d.HasFPS || d.Toward != NoSide || d.Scale != nil || d.View != Beside {
		t.Errorf("%+v", d)
	}
}

func zeros(n int) string { return strings.Repeat(",0", n) }

// A hidden point that was placed counts with twice the uncertainty, one that
// was not seen does not count; hips seen both are taken in the middle.
func TestVisibility(t *testing.T) {
	cam := clicks{Set: {Ground: {480, 840}}}.camera("", Beside, false)
	for _, c := range []struct {
		left, right int
		x, u        float64
		seen        bool
	}{
		{2, 2, 0.375, quad(click, click/root2), true},
		{2, 0, 0.375 + 8*px, quad(click, click), true},
		{0, 1, 0.375 - 8*px, quad(click, 2*click), true},
		{1, 1, 0.375, quad(click, 2*click/root2), true},
		{0, 0, 0, 0, false},
	} {
		var p Person
		p[cocoLeftHip], p[cocoLeftHip+1] = Keypoint{500, 592, c.left}, Keypoint{500, 608, c.right}
		cam.Keypoints[Set] = &p
		v, _ := deriveAll(t, Setting{Throws: "right", Stature: tall}, cam)
		hip, seen := v["hip_height_set"]
		if seen != c.seen {
			t.Errorf("%d %d: derived is %t", c.left, c.right, seen)
			continue
		}
		if seen {
			near(t, "hip", hip.X, c.x, 1e-9)
			near(t, "u", hip.U(), quad(c.u, c.x*rel), 1e-6)
		}
	}
}

// Left and right of the body are the throwing side by the hand.
func TestHandednessOfKeypoints(t *testing.T) {
	var p Person
	p[cocoLeftHip], p[cocoLeftHip+1] = Keypoint{500, 500, 2}, Keypoint{500, 500, 2}
	p[cocoLeftKnee], p[cocoLeftKnee+1] = Keypoint{500, 628, 2}, Keypoint{500, 628, 2}
	p[cocoLeftAnkle], p[cocoLeftAnkle+1] = Keypoint{596, 628, 2}, Keypoint{500, 756, 2} // left bent by 90°, right straight
	cam := clicks{}.camera("", Beside, false)
	cam.Scale = nil
	cam.Keypoints[FrontFootPlant] = &p
	for hand, back := range map[string]float64{"left": 90, "right": 0} {
		v, _ := deriveAll(t, Setting{Throws: hand}, cam)
		near(t, hand+" back knee", v["knee_bend_plant"].X, back, 1e-9)
		near(t, hand+" front knee", v["front_knee_bend_plant"].X, 90-back, 1e-9)
	}
}
