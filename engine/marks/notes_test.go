package marks

import (
	"slices"
	"strings"
	"testing"

	"rootcue/engine/quantity"
)

// Each reason why a measure is missing, or what was assumed, has a note.
func TestNotes(t *testing.T) {
	hip := clicks{Set: {Hip: {500, 600}, Ground: {480, 840}}}
	shoulders := func(apart float64) clicks {
		return clicks{Set: {ShoulderGlove: {500 + apart, 500}, ShoulderThrow: {500, 500}}}
	}
	step := clicks{FrontFootPlant: {AnkleFront: {506, 800}, AnkleBack: {500, 800}}}
	elbow := clicks{Release: {ShoulderGlove: {700, 500}, ShoulderThrow: {800, 500}, ElbowThrow: {850, 436}}}
	knee := clicks{FrontFootPlant: {Hip: {500, 500}, KneeBack: {500, 500}, AnkleBack: {404, 628}}}
	standing := clicks{Release: {ShoulderGlove: {700, 500}, ShoulderThrow: {700, 500}, ElbowThrow: {760, 500}}}
	side := func(c clicks) Camera { return c.camera("/0", Beside, false) }
	behind := func(c clicks) Camera { return c.camera("/1", Behind, false) }
	without := func(c Camera, change func(*Camera)) Camera { change(&c); return c }
	for _, c := range []struct {
		name    string
		cams    []Camera
		set     Setting
		codes   []string
		missing string
	}{
		{"all stated, both views", []Camera{side(hip), behind(elbow)}, Setting{Stature: tall}, nil, ""},
		{"side alone", []Camera{side(hip)}, Setting{Stature: tall}, []string{"needs-other-view"}, "elbow_height_release"},
		{"behind alone", []Camera{behind(elbow)}, Setting{Stature: tall}, []string{"needs-other-view"}, "hip_height_set"},
		{"hip from behind", []Camera{behind(hip)}, Setting{Stature: tall}, []string{"needs-other-view"}, "hip_height_set"},
		{"clock alone", []Camera{timed(60, map[Moment]int{Catch: 1, Release: 61})}, Setting{Stature: tall}, nil, "hip_height_set"},
		{"no scale", []Camera{without(side(hip), func(c *Camera) { c.Scale = nil }), behind(elbow)}, Setting{Stature: tall}, []string{"no-scale"}, "hip_height_set"},
		{"no direction", []Camera{without(side(step), func(c *Camera) { c.Toward = NoSide }), behind(elbow)}, Setting{Stature: tall}, []string{"no-direction"}, "stride_length"},
		{"no stature", []Camera{side(hip), behind(elbow)}, Setting{}, []string{"no-stature"}, "hip_height_set"},
		{"no u_px", []Camera{without(side(hip), func(c *Camera) { c.HasUPx = false }), behind(elbow)}, Setting{Stature: tall}, []string{"u-px-assumed"}, ""},
		{"times without fps", []Camera{{Times: [MomentCount]Time{Catch: {1, true}, Release: {2, true}}}}, Setting{}, []string{"frame-rate-assumed"}, ""},
		{"shoulders too far apart", []Camera{side(shoulders(300)), behind(elbow)}, Setting{Stature: tall}, []string{"shoulders-too-far-apart"}, "shoulder_turn_set"},
		{"step of nothing", []Camera{side(step), behind(step)}, Setting{Stature: tall}, []string{"step-too-short"}, "stride_off_line"},
		{"knee on the hip", []Camera{side(knee), behind(elbow)}, Setting{Stature: tall}, []string{"points-coincide"}, "knee_bend_plant"},
		{"shoulders on each other", []Camera{side(hip), behind(standing)}, Setting{Stature: tall}, []string{"points-coincide"}, "elbow_height_release"},
	} {
		v, notes := deriveAll(t, c.set, c.cams...)
		var codes []string
		for _, n := range notes {
			codes = append(codes, n.Code)
			if !strings.HasSuffix(n.Says, ".") {
				t.Errorf("%s: %q is no sentence", c.name, n.Says)
			}
		}
		if !slices.Equal(codes, c.codes) {
			t.Errorf("%s: notes %v, want %v", c.name, codes, c.codes)
		}
		if _, seen := v[c.missing]; seen {
			t.Errorf("%s: %s was derived", c.name, c.missing)
		}
	}
}

// The note names each measure that the other view would show.
func TestNeedsOtherViewNamesThem(t *testing.T) {
	_, notes := deriveAll(t, Setting{Stature: tall}, clicks{Set: {Hip: {500, 600}}}.camera("", Beside, false))
	const want = "Only a camera behind the catcher or ahead shows first_step_off_line, stride_off_line, elbow_height_release: not seen here."
	if len(notes) != 1 || notes[0].Says != want {
		t.Errorf("got %v, want %q", notes, want)
	}
}

// A shoulder line a little beyond the breadth, by less than 2 u, is a turn of 90°.
func TestTurnAtNinety(t *testing.T) {
	cam := clicks{Set: {ShoulderGlove: {500 + 0.259*640*1.1, 500}, ShoulderThrow: {500, 500}}}.camera("", Beside, false)
	v, _ := deriveAll(t, Setting{Stature: tall}, cam)
	if turn := v["shoulder_turn_set"]; turn.X != 90 || turn.U() < 4.999 || turn.U() > 45 {
		t.Errorf("turn %g ± %g, want 90 with a finite u of at least 5", turn.X, turn.U())
	}
}

// A stride's length stated by hand serves where no camera shows it.
func TestStatedStride(t *testing.T) {
	cam := clicks{FrontFootPlant: {AnkleFront: {732, 800}, AnkleBack: {700, 800}}}.camera("", Behind, false)
	stated := quantity.Value{X: 0.4, Parts: []quantity.Part{{Input: 0, D: 0.02}}}
	v, _ := deriveAll(t, Setting{Stature: tall, StepShare: stated}, cam)
	near(t, "stride_off_line", v["stride_off_line"].X, 7.125016349, 1e-9)
	s, l := 0.05, 0.4
	near(t, "u", v["stride_off_line"].U(), degree/(s*s+l*l)*quad(l*quad(root2*click, s*rel), s*0.02), 1e-6)
	if v, _ := deriveAll(t, Setting{Stature: tall}, cam); len(v) != 0 {
		t.Errorf("without it: %v", v)
	}
}

// In a dry rep the exchange starts with the mitt's first movement, and says so.
func TestDryExchange(t *testing.T) {
	var pool quantity.Pool
	out, _, _ := Derive([]Camera{timed(60, map[Moment]int{Catch: 1, Release: 61})}, Setting{Dry: true}, NewInputs(&pool), "")
	if len(out) != 1 || out[0].From != "marks, side: frames catch (dry: the mitt's first movement) and release" {
		t.Errorf("got %+v", out)
	}
}

// The finest clock that has both events gives the interval.
func TestFinestClock(t *testing.T) {
	slow := timed(60, map[Moment]int{Catch: 10, Release: 70, Arrival: 160})
	fast := timed(240, map[Moment]int{Catch: 40, Release: 281})
	fast.At, fast.View = "/1", Behind
	v, _ := deriveAll(t, Setting{}, slow, fast)
	near(t, "exchange", v["exchange_time"].X, 241.0/240, 1e-12)
	near(t, "flight", v["flight_time"].X, 1.5, 1e-12)
}
