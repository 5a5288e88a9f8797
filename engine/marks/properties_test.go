package marks

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"rootcue/engine/quantity"
)

func derived(t interface{ Fatalf(string, ...any) }, cams []Camera, set Setting) []Derived {
	var pool quantity.Pool
	out, _, problems := Derive(cams, set, NewInputs(&pool), "/reps/0/marks")
	if len(problems) > 0 {
		t.Fatalf("%+v", problems)
	}
	return out
}

// The detours add up to the path less the straight line.
func TestDetoursAddUp(t *testing.T) {
	spot := rapid.Float64Range(0, 1900)
	rapid.Check(t, func(t *rapid.T) {
		points := clicks{Catch: {}, Transfer: {}, BallBack: {}, Ear: {}}
		for _, m := range []Moment{Catch, Transfer, BallBack, Ear} {
			points[m][Ball] = [2]float64{spot.Draw(t, "x"), spot.Draw(t, "y")}
		}
		cam := points.camera("", Beside, false)
		cam.Picture = [2]float64{}
		v := map[string]float64{}
		for _, d := range derived(t, []Camera{cam}, Setting{Stature: quantity.Value{X: 1.6}}) {
			v[d.Measure] = d.Value.X
		}
		if got, want := v["low_detour"]+v["back_detour"], v["hand_path"]-v["straight_path"]; math.Abs(got-want) > 1e-12*(1+v["hand_path"]) {
			t.Fatalf("detours %g, path less straight line %g", got, want)
		}
		if v["low_detour"] < -1e-12 || v["back_detour"] < -1e-12 {
			t.Fatalf("a detour below 0: %v", v)
		}
	})
}

// A mirrored picture of a mirrored thrower gives the same values to the bit.
func TestMirror(t *testing.T) {
	for seed := range uint64(200) {
		film1 := func(right, left, ahead bool) ([]Camera, Setting) {
			r := rand.New(rand.NewPCG(seed, 1))
			th := newThrow(r, right)
			return film(th, filming{fps: 120, uPx: 3, left: left, ahead: ahead, ground: seed%2 == 0, noisy: true}, r), th.setting
		}
		cams, set := film1(true, false, seed%3 == 0)
		want := derived(t, cams, set)
		for i := range cams {
			mirror(&cams[i])
		}
		set.Throws = "left"
		got := derived(t, cams, set)
		if diff := cmp.Diff(want, got, cmp.Comparer(sameValue)); diff != "" {
			t.Fatalf("seed %d (-as filmed +mirrored):\n%s", seed, diff)
		}
	}
}

func sameValue(a, b quantity.Value) bool {
	return a.X == b.X && a.U() == b.U() && slices.EqualFunc(a.Parts, b.Parts, func(p, q quantity.Part) bool { return p.Input == q.Input && math.Abs(p.D) == math.Abs(q.D) })
}

// mirror turns a picture left for right.
func mirror(c *Camera) {
	c.Toward = Left + Right - c.Toward
	for _, end := range []*[2]float64{&c.Scale.From, &c.Scale.To} {
		end[0] = wide - end[0]
	}
	for _, p := range c.Points {
		if p == nil {
			continue
		}
		for j := range p {
			if p[j].Seen {
				p[j].X = wide - p[j].X
			}
		}
	}
}

// Without any error on film the measures are those the figure is built from,
// but for the ankle and the breadth, which differ from person to person.
func TestExactFilm(t *testing.T) {
	for seed := range uint64(100) {
		r := rand.New(rand.NewPCG(seed, 2))
		th := newThrow(r, seed%2 == 0)
		f := filming{fps: 2000, uPx: 0.05, left: seed%4 < 2, ahead: seed%8 < 4, ground: true}
		for _, d := range derived(t, film(th, f, r), th.setting) {
			tolerance := 0.001
			switch d.Measure {
			case "knee_bend_plant", "front_knee_bend_plant", "first_step_off_line", "stride_off_line":
				tolerance = 0.1 // degrees
			case "shoulder_turn_set", "throw_speed":
				continue
			}
			if math.Abs(d.Value.X-th.truth[d.Measure]) > tolerance {
				t.Errorf("seed %d: %s = %g, want %g", seed, d.Measure, d.Value.X, th.truth[d.Measure])
			}
		}
	}
}

// The parts are those of JCGM 100:2008 5.1.3: each is the half difference
// that the input's own u makes.
func TestPartsAreSensitivities(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	th := newThrow(r, true)
	const u = 0.01 // px, so small that second order is nothing
	f := filming{fps: 120, uPx: u, ground: true}
	cams := film(th, f, r)
	var pool quantity.Pool
	in := NewInputs(&pool)
	base, _, _ := Derive(cams, th.setting, in, "")
	for i := range cams {
		block := in.camera(slot(cams[i].View, 0))
		for m := range MomentCount {
			for j := range JointCount {
				if cams[i].Points[m] == nil || !cams[i].Points[m][j].Seen {
					continue
				}
				p := &cams[i].Points[m][j]
				for axis, x := range []*float64{&p.X, &p.Y} {
					was := *x
					*x = was + u
					up, _, _ := Derive(cams, th.setting, in, "")
					*x = was - u
					down, _, _ := Derive(cams, th.setting, in, "")
					*x = was
					for k := range base {
						want := math.Abs(up[k].Value.X-down[k].Value.X) / 2
						got := math.Abs(base[k].Value.D(pointInput(block, m, j) + quantity.Input(axis)))
						tolerance := 1e-4
						if base[k].Measure == "shoulder_turn_set" {
							tolerance = 0.01 // its slope is taken over the whole u
						}
						if math.Abs(got-want) > tolerance*want+1e-9 {
							t.Errorf("%s under %s %s axis %d: %g, want %g", base[k].Measure, m, j, axis, got, want)
						}
					}
				}
			}
		}
	}
}

// Parts come sorted by input, each once: what quantity.Value asks for.
func TestPartsAreSorted(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for i := range 100 {
		th := newThrow(r, i%2 == 0)
		th.setting.Stature.Parts = []quantity.Part{{Input: quantity.Stature, D: 0.05}}
		for _, d := range derived(t, film(th, filming{fps: 60, uPx: 3, noisy: true}, r), th.setting) {
			if !slices.IsSortedFunc(d.Value.Parts, func(a, b quantity.Part) int { return int(a.Input) - int(b.Input) }) {
				t.Fatalf("%s: %v", d.Measure, d.Value.Parts)
			}
			for k := 1; k < len(d.Value.Parts); k++ {
				if d.Value.Parts[k].Input == d.Value.Parts[k-1].Input {
					t.Fatalf("%s has input %d twice", d.Measure, d.Value.Parts[k].Input)
				}
			}
		}
	}
}
