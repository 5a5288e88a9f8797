package marks

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"rootcue/engine/quantity"
)

// The hand-computed cases: a pole of 1.6 m spans 640 px and the player is
// 1.6 m tall, so 640 px are one stature, 64 px a tenth. A click errs by 3 px.
const (
	px    = 1.0 / 640
	click = 3 * px
	rel   = 0.011997721137782792 // of lengths: √(0.01² + 2·(3/640)²)
	root2 = math.Sqrt2
)

// quad adds uncertainties in quadrature.
func quad(u ...float64) float64 {
	sum := 0.0
	for _, x := range u {
		sum += x * x
	}
	return math.Sqrt(sum)
}

type clicks map[Moment]map[Joint][2]float64

// A case has the points of a side view whose target is to the right and of a
// view from behind of a right-hander.
type handCase struct {
	measure      string
	side, behind clicks
	want, u      float64
	from         string
}

var handCases = []handCase{
	{"hip_height_set", clicks{Set: {Hip: {500, 600}, Ground: {480, 840}, AnkleBack: {470, 810}}}, nil, 0.375, quad(root2*click, 0.375*rel), "side: hip and ground at set"},
	{"hip_height_set", clicks{Set: {Hip: {500, 600}, AnkleBack: {470, 815}, AnkleFront: {520, 820}}}, nil, 220*px + 0.039, quad(root2*click, 220*px*rel, 0.01), "side: hip and the lower ankle at set"},
	{"hip_height_set", clicks{Set: {Hip: {500, 600}, AnkleBack: {470, 824}, AnkleFront: {520, 820}}}, nil, 224*px + 0.039, quad(root2*click, 224*px*rel, 0.01), "side: hip and the lower ankle at set"},
	{"hip_height_set", clicks{Set: {Hip: {500, 600}, AnkleFront: {520, 792}}}, nil, 0.339, quad(root2*click, 0.3*rel, 0.01), "side: hip and the lower ankle at set"},
	{"hip_height_transfer", clicks{Transfer: {Hip: {500, 552}, Ground: {480, 840}}}, nil, 0.45, quad(root2*click, 0.45*rel), "side: hip and ground at transfer"},
	{"hip_height_plant", clicks{FrontFootPlant: {Hip: {500, 584}, Ground: {480, 840}}}, nil, 0.4, quad(root2*click, 0.4*rel), "side: hip and ground at front_foot_plant"},
	{"foot_stagger_set", clicks{Set: {AnkleFront: {532, 800}, AnkleBack: {500, 800}}}, nil, 0.05, quad(root2*click, 0.05*rel), "side: both ankles at set"},
	{"foot_stagger_set", clicks{Set: {AnkleFront: {468, 800}, AnkleBack: {500, 800}}}, nil, -0.05, quad(root2*click, 0.05*rel), "side: both ankles at set"},
	{"stride_length", clicks{FrontFootPlant: {AnkleFront: {820, 800}, AnkleBack: {500, 790}}}, nil, 0.5, quad(root2*click, 0.5*rel), "side: both ankles at front_foot_plant"},
	// asin(0.1295/0.259) = 30°; by the clicks alone, half of [asin(0.5+u) − asin(0.5−u)], below 5°.
	{"shoulder_turn_set", clicks{Set: {ShoulderGlove: {582.88, 500}, ShoulderThrow: {500, 500}}}, nil, 30, 5, "side: both shoulders at set"},
	{"shoulder_turn_set", clicks{Set: {ShoulderGlove: {417.12, 500}, ShoulderThrow: {500, 500}}}, nil, -30, 5, "side: both shoulders at set"},
	{"transfer_height", clicks{Transfer: {Ball: {520, 532}, ShoulderThrow: {515, 500}}}, nil, -0.05, quad(root2*click, 0.05*rel), "side: ball and shoulder_throw at transfer"},
	{"drawback", clicks{BallBack: {EarPoint: {500, 400}, Ball: {340, 380}}}, nil, 0.25, quad(root2*click, 0.25*rel), "side: ear and ball at ball_back"},
	{"drawback", clicks{BallBack: {EarPoint: {500, 400}, Ball: {516, 380}}}, nil, -0.025, quad(root2*click, 0.025*rel), "side: ear and ball at ball_back"},
	{"ball_drop", clicks{Transfer: {Ball: {520, 500}}, BallLow: {Ball: {480, 564}}}, nil, 0.1, quad(root2*click, 0.1*rel), "side: ball at transfer and ball_low"},
	// A right angle of arms 128 and 96 px: u² = u_px²·(1/128² + 1/96² + (128² + 96²)/(128·96)²).
	{"knee_bend_plant", clicks{FrontFootPlant: {Hip: {500, 500}, KneeBack: {500, 628}, AnkleBack: {404, 628}}}, nil, 90, 3 * degree * quad(1./128, 1./96, 160./(128*96)), "side: hip, knee and ankle of the back leg at front_foot_plant"},
	{"front_knee_bend_plant", clicks{FrontFootPlant: {Hip: {500, 500}, KneeFront: {500, 628}, AnkleFront: {596, 724}}}, nil, 45, 0, "side: hip, knee and ankle of the front leg at front_foot_plant"},
	// Legs of 3-4-5: C(900,600) T(660,420) B(420,600) E(480,680): |CT| 300, |TB| 300, |BE| 100, |TE| 316.2278, |CE| 427.5512 px.
	{"hand_path", path(Ball), nil, 700 * px, 0, "side: ball at catch, transfer, ball_back and ear"},
	{"straight_path", path(Ball), nil, 427.5511665 * px, quad(root2*click, 427.5511665*px*rel), "side: ball at catch and ear"},
	{"low_detour", path(Ball), nil, (300 + 316.2277660 - 427.5511665) * px, 0, "side: ball at catch, transfer and ear"},
	{"back_detour", path(Mitt), nil, (400 - 316.2277660) * px, 0, "side: ball at transfer, ball_back and ear"},
	{"straight_path", path(Mitt), nil, 427.5511665 * px, quad(root2*click, 427.5511665*px*rel), "side: ball at catch and ear"},
	// atan(32/256) and atan(48/144); ∂/∂s = l/(s²+l²).
	{"stride_off_line", clicks{FrontFootPlant: {AnkleFront: {756, 800}, AnkleBack: {500, 800}}}, clicks{FrontFootPlant: {AnkleFront: {732, 800}, AnkleBack: {700, 800}}}, 7.125016349, 0, "behind: both ankles at front_foot_plant, the step's length from the side"},
	{"stride_off_line", clicks{FrontFootPlant: {AnkleFront: {756, 800}, AnkleBack: {500, 800}}}, clicks{FrontFootPlant: {AnkleFront: {668, 800}, AnkleBack: {700, 800}}}, 7.125016349, degree / (0.05*0.05 + 0.4*0.4) * quad(0.4*quad(root2*click, 0.05*rel), 0.05*quad(root2*click, 0.4*rel)), "behind: both ankles at front_foot_plant, the step's length from the side"},
	{"first_step_off_line", clicks{BackFootPlant: {AnkleBack: {644, 800}, AnkleFront: {500, 800}}}, clicks{BackFootPlant: {AnkleBack: {748, 800}, AnkleFront: {700, 800}}}, 18.43494882, 0, "behind: both ankles at back_foot_plant, the step's length from the side"},
	// Level shoulders, elbow 64 px above their line; and tilted 3-4-5, elbow 50 px across from the throwing shoulder.
	{"elbow_height_release", nil, clicks{Release: {ShoulderGlove: {700, 500}, ShoulderThrow: {800, 500}, ElbowThrow: {850, 436}}}, 0.1, quad(click*quad(1, 0.5, 1.5), 0.1*rel), "behind: elbow_throw and both shoulders at release"},
	{"elbow_height_release", nil, clicks{Release: {ShoulderGlove: {700, 500}, ShoulderThrow: {780, 440}, ElbowThrow: {810, 480}}}, -50 * px, quad(click*root2, 50*px*rel), "behind: elbow_throw and both shoulders at release"},
	// The shoulders stand on end and the head hangs to the right: the ear tells its side, or the hip the other.
	{"elbow_height_release", nil, clicks{Release: {ShoulderGlove: {700, 500}, ShoulderThrow: {708, 400}, ElbowThrow: {708, 336}, EarPoint: {760, 440}}}, -5.103694144 * px, 0, "behind: elbow_throw and both shoulders at release"},
	{"elbow_height_release", nil, clicks{Release: {ShoulderGlove: {700, 500}, ShoulderThrow: {708, 400}, ElbowThrow: {708, 336}, Hip: {560, 470}}}, -5.103694144 * px, 0, "behind: elbow_throw and both shoulders at release"},
	{"elbow_height_release", nil, clicks{Release: {ShoulderGlove: {700, 500}, ShoulderThrow: {708, 400}, ElbowThrow: {708, 336}}}, 5.103694144 * px, 0, "behind: elbow_throw and both shoulders at release"},
}

func path(atCatch Joint) clicks {
	return clicks{Catch: {atCatch: {900, 600}}, Transfer: {Ball: {660, 420}}, BallBack: {Ball: {420, 600}}, Ear: {Ball: {480, 680}}}
}

func (c clicks) camera(at string, v View, mirrored bool) Camera {
	cam := Camera{At: at, View: v, Toward: Right, UPx: 3, HasUPx: true, Picture: [2]float64{1920, 1080}}
	cam.Scale = &Scale{From: [2]float64{100, 900}, To: [2]float64{100, 260}, Length: 1.6}
	if mirrored {
		cam.Toward = Left
	}
	for m, joints := range c {
		cam.Points[m] = &Points{}
		for j, p := range joints {
			if mirrored {
				p[0] = 1920 - p[0]
			}
			cam.Points[m][j] = Point{p[0], p[1], true}
		}
	}
	return cam
}

// Each row, for both hands: seen from the side with the target to the right
// and to the left, from behind and from ahead.
func TestHandComputed(t *testing.T) {
	for i, c := range handCases {
		for _, hand := range []string{"right", "left"} {
			for _, toward := range []Side{Right, Left} {
				for _, view := range []View{Behind, Ahead} {
					t.Run(fmt.Sprint(i, c.measure, hand, toward, view), func(t *testing.T) {
						mirrored := (hand == "left") != (view == Ahead)
						c.check(t, hand, c.side.camera("/0", Beside, toward == Left), c.behind.camera("/1", view, mirrored))
					})
				}
			}
		}
	}
}

func (c handCase) check(t *testing.T, hand string, cams ...Camera) {
	var pool quantity.Pool
	out, _, problems := Derive(cams, Setting{Throws: hand, Stature: quantity.Value{X: 1.6}}, NewInputs(&pool), "/reps/0/marks")
	if len(problems) > 0 {
		t.Fatalf("%+v", problems)
	}
	for _, d := range out {
		if d.Measure != c.measure {
			continue
		}
		near(t, d.Measure, d.Value.X, c.want, 1e-6)
		if c.u != 0 {
			near(t, "u of "+d.Measure, d.Value.U(), c.u, 1e-6)
		}
		if want := "marks, " + strings.Replace(c.from, "behind:", cams[1].View.String()+":", 1); d.From != want {
			t.Errorf("from %q, want %q", d.From, want)
		}
		return
	}
	t.Errorf("%s was not derived", c.measure)
}

// Every measure that points give has a hand-computed case.
func TestEveryRowHasACase(t *testing.T) {
	for _, r := range rows {
		found := r.time
		for _, c := range handCases {
			found = found || c.measure == r.measure
		}
		if !found {
			t.Errorf("%s has no hand-computed case", r.measure)
		}
	}
}

// 120 frames a second; the intervals are those of the frames' difference.
func TestClock(t *testing.T) {
	frames := map[Moment]int{Catch: 120, Transfer: 156, BackFootPlant: 150, Ear: 204, FrontFootPlant: 210, Release: 240, Arrival: 420}
	v, _ := deriveAll(t, Setting{}, timed(120, frames))
	for measure, want := range map[string]float64{"change_time": 0.3, "ear_time": 0.4, "throw_time": 0.3, "feet_lag": -0.05, "landing_time": 0.75,
		"plant_to_release": 0.25, "exchange_time": 1, "flight_time": 1.5, "pop_time": 2.5} {
		near(t, measure, v[measure].X, want, 1e-12)
		near(t, "u of "+measure, v[measure].U(), 1/(120*math.Sqrt(6)), 1e-12)
		delete(v, measure)
	}
	if len(v) != 0 {
		t.Errorf("a clock alone also gave %v", v)
	}
}
