package marks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"rootcue/engine/marks"
	"rootcue/engine/observation"
	"rootcue/engine/quantity"
)

// testdata/marks/track.json is the stick figure as a pose detector would give
// it. Its ball_low and ball_back the engine finds; each measure comes out as the
// figure was built, within 3 u and what the mean of three frames smooths away.
func TestTrackFile(t *testing.T) {
	data, truth := marks.TrackDocument()
	golden(t, testdata+"/track.json", string(data))
	out := deriveFile(t, data)
	for _, want := range []string{"hip_height_set", "foot_stagger_set", "transfer_height", "hip_height_transfer", "drawback", "ball_drop", "hand_path", "straight_path",
		"low_detour", "back_detour", "stride_length", "knee_bend_plant", "front_knee_bend_plant", "hip_height_plant", "exchange_time", "pop_time", "throw_speed"} {
		if _, ok := out[want]; !ok {
			t.Errorf("%s was not derived", want)
		}
	}
	for name, v := range out {
		smoothed := 0.01 * (1 + math.Abs(truth[name]))
		if math.Abs(v.X-truth[name]) > 3*v.U()+smoothed {
			t.Errorf("%s = %g ± %g, want %g", name, v.X, v.U(), truth[name])
		}
	}
}

func deriveFile(t *testing.T, data []byte) map[string]quantity.Value {
	t.Helper()
	o, problems := observation.Decode(data)
	if len(problems) > 0 {
		t.Fatalf("%+v", problems)
	}
	var pool quantity.Pool
	set := marks.Setting{Throws: o.Player.Throws, Stature: quantity.Value{X: o.Player.StatureCM / 100}, DistanceM: 34.485}
	got, _, problems := marks.Derive(o.Reps[0].Marks, set, marks.NewInputs(&pool), "/reps/0/marks")
	if len(problems) > 0 {
		t.Fatalf("%+v", problems)
	}
	out := map[string]quantity.Value{}
	for _, d := range got {
		out[d.Measure] = d.Value
	}
	return out
}

// A point that was clicked beats the moment's keypoints, and these the track.
func TestPointsBeatKeypointsBeatTrack(t *testing.T) {
	person := func(x int) string {
		return fmt.Sprintf("[%s%d,400,2,%d,400,2%s]", strings.Repeat("0,", 33), x, x, strings.Repeat(",0", 12)) // both hips
	}
	doc := func(extra string) []byte {
		return []byte(`{"player": {"ref": "P-1", "age": 14, "stature_cm": 160, "throws": "right"}, "on": "2026-05-09", "reps": [{"rep": 1, "marks":
			{"fps": 60, "toward": "right", "u_px": 3, "scale": {"from": [0, 0], "to": [0, 640], "length": {"value": 1.6, "unit": "m"}},
			 "frames": {"front_foot_plant": 10}` + extra + `}}]}`)
	}
	legs := `"knee_back": [500, 520], "ankle_back": [500, 640]`
	for _, c := range []struct {
		name, extra string
		bend        float64
	}{
		{"track", `, "track": {"10": ` + person(620) + `}, "points": {"front_foot_plant": {` + legs + `}}`, 45},
		{"keypoints", `, "track": {"10": ` + person(620) + `}, "keypoints": {"front_foot_plant": ` + person(380) + `}, "points": {"front_foot_plant": {` + legs + `}}`, 45},
		{"keypoints on the line", `, "track": {"10": ` + person(620) + `}, "keypoints": {"front_foot_plant": ` + person(500) + `}, "points": {"front_foot_plant": {` + legs + `}}`, 0},
		{"points", `, "keypoints": {"front_foot_plant": ` + person(620) + `}, "points": {"front_foot_plant": {"hip": [500, 300], ` + legs + `}}`, 0},
	} {
		if got := deriveFile(t, doc(c.extra))["knee_bend_plant"].X; math.Abs(got-c.bend) > 1e-9 {
			t.Errorf("%s: bend %g, want %g", c.name, got, c.bend)
		}
	}
}
