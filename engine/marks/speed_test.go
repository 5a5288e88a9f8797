package marks

import (
	"math"
	"testing"

	"rootcue/engine/flight"
	"rootcue/engine/quantity"
)

func thrown(frames int) Camera {
	return timed(120, map[Moment]int{Release: 240, Arrival: 240 + frames})
}

var tall = quantity.Value{X: 1.6}

// The speed is the one whose flight takes the time over the distance.
func TestThrowSpeedInvertsTheFlight(t *testing.T) {
	ball := flight.Default()
	for _, frames := range []int{120, 150, 180} {
		v, _ := deriveAll(t, Setting{Stature: tall, DistanceM: 34.485}, thrown(frames))
		back, err := flight.Solve(ball, flight.Path{DistanceM: 34.485, ReleaseM: 0.95 * 1.6, TargetM: 0.3}, v["throw_speed"].X)
		if err != nil || !back.Carries {
			t.Fatal(err)
		}
		near(t, "time", back.TimeS, float64(frames)/120, 1e-7)
	}
}

// The sensitivities of the flat throw agree with those of the full flight
// within a tenth for launch angles up to 20°.
func TestFlatSlopes(t *testing.T) {
	ball := flight.Default()
	ball.UCD, ball.URho = 0, 0
	for _, distance := range []float64{25.86, 30.17, 34.485, 38.79} {
		for _, time := range []float64{1.0, 1.3, 1.6} {
			speed := func(time, release, target, air float64) float64 {
				b := ball
				b.CD *= air
				throw, err := flight.SpeedFor(b, flight.Path{DistanceM: distance, ReleaseM: release, TargetM: target}, time)
				if err != nil || !throw.Carries {
					t.Fatalf("%g m in %g s: %v", distance, time, err)
				}
				return throw.SpeedMps
			}
			f := flat{distance: distance, rise: 0.3 - 1.5, drag: dragOf(ball), time: time}
			near(t, "by time", f.slope(&f.time, 0.01), (speed(time+0.01, 1.5, 0.3, 1)-speed(time-0.01, 1.5, 0.3, 1))/0.02, 0.05)
			near(t, "by rise", f.slope(&f.rise, 0.2), (speed(time, 1.5, 0.5, 1)-speed(time, 1.5, 0.1, 1))/0.4, 0.1)
			near(t, "by release", -f.slope(&f.rise, 0.2), (speed(time, 1.7, 0.3, 1)-speed(time, 1.3, 0.3, 1))/0.4, 0.1)
			near(t, "by air", f.slope(&f.drag, 0.15*f.drag)*f.drag, (speed(time, 1.5, 0.3, 1.15)-speed(time, 1.5, 0.3, 0.85))/0.3, 0.05)
		}
	}
}

// What the speed depends on, and when there is none.
func TestThrowSpeedInputs(t *testing.T) {
	arrival := quantity.Value{X: 0.5, Parts: []quantity.Part{{Input: 0, D: 0.05}}}
	usual := Setting{Stature: tall, DistanceM: 34.485}
	base, _ := deriveAll(t, usual, thrown(180))
	for name, c := range map[string]struct {
		set  func(*Setting)
		seen bool
	}{
		"usual":        {func(*Setting) {}, true},
		"bounced":      {func(s *Setting) { s.Bounced = true }, false},
		"no distance":  {func(s *Setting) { s.DistanceM = 0 }, false},
		"no stature":   {func(s *Setting) { s.Stature = quantity.Value{} }, false},
		"arrival said": {func(s *Setting) { s.HasArrival, s.ArrivalHeightM = true, arrival }, true},
	} {
		set := usual
		c.set(&set)
		v, _ := deriveAll(t, set, thrown(180))
		speed, seen := v["throw_speed"]
		if seen != c.seen {
			t.Errorf("%s: derived is %t", name, seen)
		}
		if name == "arrival said" && (speed.X <= base["throw_speed"].X || speed.U() >= base["throw_speed"].U()) {
			t.Errorf("a stated higher arrival gives %v, without it %v: want faster and surer", speed, base["throw_speed"])
		}
	}
}

// The ball and the ground at release give the height of release.
func TestReleaseHeight(t *testing.T) {
	cam := clicks{Release: {Ball: {800, 300}, Ground: {700, 940}}}.camera("", Beside, false) // 640 px, 1.6 m
	clock := thrown(180)
	cam.FPS, cam.HasFPS, cam.Frames = clock.FPS, true, clock.Frames
	marked, _ := deriveAll(t, Setting{Stature: tall, DistanceM: 34.485}, cam)
	assumed, _ := deriveAll(t, Setting{Stature: quantity.Value{X: 1.6 / 0.95}, DistanceM: 34.485}, clock)
	near(t, "speed", marked["throw_speed"].X, assumed["throw_speed"].X, 1e-12)
	if marked["throw_speed"].U() >= assumed["throw_speed"].U() {
		t.Error("a marked release height makes the speed no surer")
	}
	far := quantity.Value{X: 1.6, Parts: []quantity.Part{{Input: quantity.Stature, D: 0.08}}}
	with, _ := deriveAll(t, Setting{Stature: far, DistanceM: 34.485}, cam)
	if d := math.Abs(with["throw_speed"].D(quantity.Stature)); d > 1e-9 {
		t.Errorf("a height marked against the ground depends on the stature: %g", d)
	}
}

// A flight too long for any flat throw is told, not turned into a speed.
func TestSpeedOfABounce(t *testing.T) {
	v, notes := deriveAll(t, Setting{Stature: tall, DistanceM: 34.485}, thrown(400))
	if _, ok := v["throw_speed"]; ok || len(notes) != 1 || notes[0].Code != "does-not-carry" {
		t.Errorf("got %v and %v", v["throw_speed"], notes)
	}
}
