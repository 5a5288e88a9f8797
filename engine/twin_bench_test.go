package engine

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"rootcue/engine/observation"
	"rootcue/engine/rubric"
	"rootcue/rubrics"
)

func twinRubric(t testing.TB) *rubric.Rubric {
	t.Helper()
	src, err := rubrics.Files.ReadFile("throw-to-second.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r, problems := rubric.Parse("throw-to-second.yaml", src, nil)
	if r == nil {
		t.Fatal(problems)
	}
	return r
}

// twinDocument is a thrower with some faults, n reps that differ a little.
func twinDocument(t testing.TB, n int) *observation.Observation {
	t.Helper()
	var reps []string
	for k := range n {
		reps = append(reps, fmt.Sprintf(`{"rep": %d, "measures": {"hip_height_set": {"value": %v, "u": 2, "unit": "cm"}, "foot_stagger_set": 0.05, "shoulder_turn_set": 5, "mitt_open": true, "hand_protected": true,
			"hand_height_set": 0.04, "grip_across": true, "clean_change": %t, "transfer_height": 0.06, "hip_height_transfer": 0.47, "drawback": 0.17, "ball_drop": 0, "elbow_height_release": 0.05, "follow_through": true,
			"first_step_off_line": 3, "stride_off_line": {"value": %v, "u": 2}, "stride_length": 0.57, "knee_bend_plant": 45, "front_knee_bend_plant": 40, "front_shoulder_open": 5, "change_time": 0.5, "feet_lag": 0.22,
			"landing_time": 1.08, "plant_to_release": 0.25, "exchange_time": %v}}`, k+1, 56+k%5, k%3 == 0, 15+k%4, 1.3+0.01*float64(k%7)))
	}
	o, problems := observation.Decode([]byte(`{"player": {"ref": "P", "age": 12, "stature_cm": 150}, "on": "2026-05-09", "reps": [` + strings.Join(reps, ",") + `]}`))
	if o == nil {
		t.Fatal(problems)
	}
	return o
}

func newTwin(o *observation.Observation) *twin {
	return &twin{band: 1, stature: o.Player.StatureCM / 100, reps: make([]twinRep, len(o.Reps))}
}

// judgeOnly is the engine's part that the twin's read and judge do.
func judgeOnly(t testing.TB, r *rubric.Rubric, o *observation.Observation) *judge {
	j, problems := newJudge(Request{Rubric: r, Observation: o})
	if j == nil {
		t.Fatal(problems)
	}
	j.judgeFaults()
	return j
}

// TestTwin: the twin does the same job, or comparing times would mean nothing.
func TestTwin(t *testing.T) {
	r := twinRubric(t)
	for _, n := range []int{1, 3, 6} {
		o := twinDocument(t, n)
		j := judgeOnly(t, r, o)
		if problems := j.steps(); len(problems) > 0 {
			t.Fatal(problems)
		}
		twin, out := newTwin(o), [4][33]float64{}
		if !twin.read(o) {
			t.Fatal("the twin refuses the document")
		}
		twin.judge()
		twin.explain(r.Graph, &out)
		for f := range j.faults {
			same := func(what string, a, b float64) {
				if !(math.Abs(a-b) <= 1e-9) && !(math.IsNaN(a) && math.IsNaN(b)) {
					t.Errorf("%d reps, %s: %s %v, by hand %v", n, r.Faults[f].Name, what, a, b)
				}
			}
			same("chance", j.faults[f].chance, twin.chance[f])
			same("cost", j.faults[f].cost.X, twin.cost[f])
			same("u of the cost", j.faults[f].cost.U(), twin.uCost[f])
			same("part", j.secs[f], out[1][f])
			same("explains", j.explains[f], out[2][f])
			same("recovers", j.recovers[f], out[3][f])
		}
		j.release()
	}
}

// BenchmarkTwin holds the engine against the twin: measures, verdicts and costs,
// then with causes, clock and credit. The goal is a ratio of at most 1.2.
func BenchmarkTwin(b *testing.B) {
	r, o := twinRubric(b), twinDocument(b, 6)
	b.Run("judge/engine", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			judgeOnly(b, r, o).release()
		}
	})
	b.Run("judge/twin", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			t := newTwin(o)
			t.read(o)
			t.judge()
		}
	})
	b.Run("steps/engine", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			j, _ := newJudge(Request{Rubric: r, Observation: o})
			j.steps()
			j.release()
		}
	})
	b.Run("steps/twin", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			t, out := newTwin(o), [4][33]float64{}
			t.read(o)
			t.judge()
			t.explain(r.Graph, &out)
		}
	})
}

// BenchmarkGrowth: the time a rep and the time a fault take to judge stay about
// the same. The uncertainty of what each root gives back needs every part, so a
// whole assessment grows a little faster than its faults.
func BenchmarkGrowth(b *testing.B) {
	r := twinRubric(b)
	for _, n := range []int{1, 4, 16, 64} {
		o := twinDocument(b, n)
		b.Run(fmt.Sprintf("reps=%d", n), func(b *testing.B) {
			for b.Loop() {
				judgeOnly(b, r, o).release()
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/rep")
		})
	}
	for _, n := range []int{8, 32, 128} {
		r, o := manyFaults(b, n)
		for name, work := range map[string]func(){
			"judge":  func() { judgeOnly(b, r, o).release() },
			"assess": func() { Assess(Request{Rubric: r, Observation: o}) },
		} {
			b.Run(fmt.Sprintf("%s/faults=%d", name, n), func(b *testing.B) {
				for b.Loop() {
					work()
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/fault")
			})
		}
	}
}

// manyFaults is a rubric of n faults, each with a cost, in chains of four.
func manyFaults(b *testing.B, n int) (*rubric.Rubric, *observation.Observation) {
	var measures, faults, seen strings.Builder
	for i := range n {
		fmt.Fprintf(&measures, "  m%d: {title: M, unit: s, u: 0.02}\n", i)
		leads := ""
		if i%4 < 3 && i+1 < n {
			leads = fmt.Sprintf(", leads_to: {f%d: {strength: 0.5, because: it does}}", i+1)
		}
		fmt.Fprintf(&faults, "  f%d: {title: F, measure: m%d, at_most: 0.5, costs: \"max(0, m%d - limit) * rate\"%s}\n", i, i, i, leads)
		fmt.Fprintf(&seen, ", \"m%d\": 0.6", i)
	}
	src := "rubric: many\ntitle: Many\nbands: {all: {ages: [8, 18]}}\nconstants: {rate: {value: 1, u: 0.2, unit: \"1\"}}\nmeasures:\n" + measures.String() + "faults:\n" + faults.String()
	r, problems := rubric.Parse("many.yaml", []byte(src), nil)
	if r == nil {
		b.Fatal(problems)
	}
	o, slips := observation.Decode([]byte(`{"player": {"ref": "P", "age": 12}, "on": "2026-05-09", "reps": [{"rep": 1, "measures": {` + seen.String()[2:] + `}}]}`))
	if o == nil {
		b.Fatal(slips)
	}
	return r, o
}
