package picture

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var inf = math.Inf(1)

// numbers are all coordinates of a path.
var coordinate = regexp.MustCompile(`-?\d+(\.\d+)?`)

func numbers(d string) (list []float64) {
	for _, s := range coordinate.FindAllString(d, -1) {
		x, _ := strconv.ParseFloat(s, 64)
		list = append(list, x)
	}
	return list
}

// shapes are those of a class.
func shapes(d Drawing, class string) (list []Shape) {
	for _, s := range d.Shapes {
		if s.Class == class {
			list = append(list, s)
		}
	}
	return list
}

// box is a drawn box: M x y H right V bottom H x Z.
func box(t *testing.T, s Shape) (left, top, right, bottom float64) {
	t.Helper()
	n := numbers(s.D)
	if len(n) != 5 {
		t.Fatalf("no box: %s", s.D)
	}
	return n[0], n[1], n[2], n[3]
}

// TestSegments: shares of stature add up to the heights of Drillis and Contini
// 1966 (hip 0.530, shoulder 0.818), and the ear to ANSUR II (0.925).
func TestSegments(t *testing.T) {
	for name, c := range map[string][2]float64{
		"hip": {ankleHeight + shank + thigh, 0.530}, "shoulder": {ankleHeight + shank + thigh + trunk, 0.818}, "ear": {0.818 + neckToEar, 0.925},
	} {
		if math.Abs(c[0]-c[1]) > 1e-12 {
			t.Errorf("%s at %v, want %v", name, c[0], c[1])
		}
	}
}

// TestBend: a joint keeps both bones' lengths where the ends allow it.
func TestBend(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.Float64Range(-1, 1)
		a, b := point{at.Draw(t, "ax"), at.Draw(t, "ay")}, point{at.Draw(t, "bx"), at.Draw(t, "by")}
		l1, l2 := rapid.Float64Range(0.1, 0.6).Draw(t, "l1"), rapid.Float64Range(0.1, 0.6).Draw(t, "l2")
		d := math.Hypot(b.x-a.x, b.y-a.y)
		j := bend(a, b, l1, l2, rapid.Bool().Draw(t, "right"))
		if d > 1e-3 && d < l1+l2 && d > math.Abs(l1-l2) {
			if got := math.Hypot(j.x-a.x, j.y-a.y); math.Abs(got-l1) > 1e-9 {
				t.Fatalf("first bone %v, want %v", got, l1)
			}
			if got := math.Hypot(j.x-b.x, j.y-b.y); math.Abs(got-l2) > 1e-9 {
				t.Fatalf("second bone %v, want %v", got, l2)
			}
		}
	})
	left, right := bend(point{0, 0}, point{0, 1}, 0.6, 0.6, false), bend(point{0, 0}, point{0, 1}, 0.6, 0.6, true)
	if left.x >= 0 || right.x != -left.x {
		t.Errorf("left of the way %v, right %v", left, right)
	}
}

// axes are the scenes that show a reading along one axis, and ranges to try.
var axes = []struct {
	measure  string
	vertical bool
	from, to float64
}{
	{"hip_height_set", true, 0.1, 0.6}, {"hip_height_transfer", true, 0.15, 0.65}, {"hand_height_set", true, -0.2, 0.3},
	{"transfer_height", true, -0.4, 0.2}, {"elbow_height_release", true, -0.17, 0.17}, {"drawback", false, -0.1, 0.55},
	{"stride_length", false, 0.02, 0.98}, {"change_time", false, 0.05, 2}, {"feet_lag", false, -1, 1}, {"exchange_time", false, 0.3, 4},
	{"hand_path", false, 1, 6},
}

// TestSeenLiesInTheStripesWhenSound: the thick line is on the striped part if
// and only if the value is within the limits.
func TestSeenLiesInTheStripesWhenSound(t *testing.T) {
	for _, a := range axes {
		t.Run(a.measure, func(t *testing.T) {
			span := a.to - a.from
			for i := range 21 {
				value := a.from + span*float64(i)/20
				for _, limit := range [][2]float64{{-inf, a.from + span*0.52}, {a.from + span*0.52, inf}, {a.from + span*0.22, a.from + span*0.71}} {
					r := Reading{Measure: a.measure, Value: value, U: span / 100, Lo: limit[0], Hi: limit[1], Share: scenes[a.measure].share}
					d := Of(r)
					goal, seen := shapes(d, Goal), shapes(d, "seen")
					if len(goal) != 1 || len(seen) != 1 {
						t.Fatalf("%d striped parts, %d thick lines", len(goal), len(seen))
					}
					left, top, right, bottom := box(t, goal[0])
					at := numbers(seen[0].D)
					inside := at[0] >= left-0.11 && at[0] <= right+0.11
					if a.vertical {
						inside = at[1] >= top-0.11 && at[1] <= bottom+0.11
					}
					if want := value >= limit[0] && value <= limit[1]; inside != want {
						t.Errorf("%v within %v is drawn inside: %v", value, limit, inside)
					}
				}
			}
		})
	}
}

// TestAngles: the line seen from above lies inside the striped wedge if and only
// if the angle is within the limit.
func TestAngles(t *testing.T) {
	direction := func(from, to point) float64 { return math.Atan2(to.x-from.x, from.y-to.y) * 180 / math.Pi }
	for measure, zero := range map[string]float64{"stride_off_line": 0, "first_step_off_line": 0, "front_shoulder_open": 0, "shoulder_turn_set": 90} {
		for _, value := range []float64{0, 5, 12, 25, 60} {
			d := Of(Reading{Measure: measure, Value: value, U: 2, Lo: -inf, Hi: 20})
			seen, wedge := numbers(shapes(d, "seen")[0].D), numbers(shapes(d, Goal)[0].D)
			got := direction(point{seen[0], seen[1]}, point{seen[2], seen[3]}) - zero
			if math.Abs(got-value) > 0.2 {
				t.Errorf("%s %v is drawn at %.2f degrees", measure, value, got)
			}
			to := direction(point{wedge[0], wedge[1]}, point{wedge[len(wedge)-2], wedge[len(wedge)-1]}) - zero
			if math.Abs(to-20) > 0.2 {
				t.Errorf("%s: the stripes end at %.2f degrees, want 20", measure, to)
			}
		}
	}
}

// TestKneeBend: the drawn leg bends by the angle; the dashed one by the limit.
func TestKneeBend(t *testing.T) {
	bent := func(s Shape) float64 {
		n := numbers(s.D)
		a, b := math.Atan2(n[2]-n[0], n[1]-n[3]), math.Atan2(n[4]-n[2], n[3]-n[5])
		return math.Abs(a-b) * 180 / math.Pi
	}
	for _, value := range []float64{0, 12, 40, 90} {
		d := Of(Reading{Measure: "knee_bend_plant", Value: value, Lo: 25, Hi: inf})
		if got := bent(shapes(d, "limb")[0]); math.Abs(got-value) > 0.3 {
			t.Errorf("%v degrees are drawn as %.2f", value, got)
		}
		if got := bent(shapes(d, "wanted-limb")[0]); math.Abs(got-25) > 0.3 {
			t.Errorf("25 wanted degrees are drawn as %.2f", got)
		}
	}
}

// TestStrideToScale: ankle to ankle is drawn to the body's scale.
func TestStrideToScale(t *testing.T) {
	for _, length := range []float64{0.2, 0.4, 0.7} {
		n := numbers(shapes(Of(Reading{Measure: "stride_length", Value: length, Lo: -inf, Hi: 0.55, Share: true}), "measure")[0].D)
		if got := (n[4] - n[0]) / 180; math.Abs(got-length) > 0.002 {
			t.Errorf("a stride of %v is drawn as %v", length, got)
		}
	}
}

// TestFallOfTheBall: the ball is drawn below the change by what it fell.
func TestFallOfTheBall(t *testing.T) {
	d := Of(Reading{Measure: "ball_drop", Value: 0.12, Lo: -inf, Hi: 0.05, Share: true})
	change, low := shapes(d, "ghost")[0], shapes(d, "ball")[0]
	if got := (low.Y - change.Y) / 240; math.Abs(got-0.12) > 1e-9 {
		t.Errorf("a fall of 0.12 is drawn as %v", got)
	}
	_, top, _, bottom := box(t, shapes(d, Goal)[0])
	if got := (bottom - top) / 240; math.Abs(got-0.05) > 1e-3 {
		t.Errorf("the stripes are %v high, want 0.05", got)
	}
}

func TestStagger(t *testing.T) {
	d := Of(Reading{Measure: "foot_stagger_set", Value: 0.25, U: 0.02, Lo: -0.02, Hi: 0.12, Share: true})
	left, _, right, _ := box(t, shapes(d, Goal)[0])
	if got := (right - left) / 260; math.Abs(got-0.14) > 1e-3 {
		t.Errorf("the stripes are %v wide, want 0.14", got)
	}
	if x := numbers(shapes(d, "seen")[0].D)[0]; x >= left {
		t.Errorf("a foot too far back is drawn at %v, the stripes start at %v", x, left)
	}
}

// TestUnknownMeasures get a number line, as does a body length whose share of
// stature is not known.
func TestUnknownMeasures(t *testing.T) {
	for _, r := range []Reading{
		{Measure: "spin_rate", Value: 3, Lo: 2, Hi: 5},
		{Measure: "stride_length", Value: 60, Lo: -inf, Hi: 55},
		{Measure: "stride_off_line", Value: math.NaN(), Lo: -inf, Hi: 12},
	} {
		if got, want := Of(r), NumberLine(r); len(got.Shapes) != len(want.Shapes) || IsBody(r) {
			t.Errorf("%s is not drawn as a number line", r.Measure)
		}
	}
	if IsBody(Reading{Measure: "change_time", Value: 1}) || !IsBody(Reading{Measure: "drawback", Share: true}) {
		t.Error("a bar is no body, a ball behind the ear is on one")
	}
}

// TestNothingIsLost: whatever the numbers, every drawing has its labels and only
// finite coordinates inside a sane range.
func TestNothingIsLost(t *testing.T) {
	names := []string{"unknown_measure"}
	for name := range scenes {
		names = append(names, name)
	}
	rapid.Check(t, func(t *rapid.T) {
		any := rapid.OneOf(rapid.Float64Range(-2, 2), rapid.Float64Range(-1e6, 1e6), rapid.SampledFrom([]float64{0, math.NaN()}))
		end := rapid.OneOf(rapid.Float64Range(-2, 2), rapid.SampledFrom([]float64{inf, -inf, 0}))
		name := rapid.SampledFrom(names).Draw(t, "measure")
		r := Reading{Measure: name, Value: any.Draw(t, "value"), U: rapid.Float64Range(0, 1).Draw(t, "u"), Lo: end.Draw(t, "lo"), Hi: end.Draw(t, "hi"),
			Share: rapid.Bool().Draw(t, "share"), Words: Words{Seen: "seen", Wanted: "wanted", Mark: "mark", Target: "target"}}
		if open(r.Lo) {
			r.Lo = -inf
		}
		if open(r.Hi) {
			r.Hi = inf
		}
		d := Of(r)
		said := ""
		for _, s := range d.Shapes {
			said += s.Text + " "
			if strings.ContainsAny(s.D, "NI") {
				t.Fatalf("%s: %s", s.Class, s.D)
			}
		}
		if !strings.Contains(said, "seen") || !strings.Contains(said, "wanted") {
			t.Fatalf("labels are missing: %s", said)
		}
	})
}

// TestTicks: one sign a try, the good ones ticked, also where there are many.
func TestTicks(t *testing.T) {
	for _, c := range [][2]int{{0, 5}, {3, 4}, {4, 4}, {10, 40}} {
		d := Ticks(c[0], c[1], Words{Seen: "s", Wanted: "w"})
		if ticks, crosses := len(shapes(d, "tick")), len(shapes(d, "cross")); ticks != c[0] || crosses != c[1]-c[0] {
			t.Errorf("%d of %d: %d ticks, %d crosses", c[0], c[1], ticks, crosses)
		}
		for _, s := range d.Shapes {
			for _, x := range numbers(s.D) {
				if x < 0 || x > d.W {
					t.Errorf("%d of %d reach to %v", c[0], c[1], x)
				}
			}
		}
	}
}
