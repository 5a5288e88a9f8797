package engine_test

import (
	"encoding/json"
	"maps"
	"math"
	"testing"

	"rootcue/engine"
	"rootcue/engine/observation"
	"rootcue/engine/rubric"
	"rootcue/engine/verdict"
)

// clean is a thrower without a fault in every band: the middle of the limits.
var clean = map[string]any{
	"hip_height_set": 0.30, "foot_stagger_set": 0.05, "shoulder_turn_set": 5, "mitt_open": true, "hand_protected": true,
	"hand_height_set": 0.04, "grip_across": true, "clean_change": true, "transfer_height": 0.06, "hip_height_transfer": 0.36,
	"drawback": 0.17, "ball_drop": 0.0, "elbow_height_release": 0.05, "follow_through": true, "first_step_off_line": 3,
	"stride_off_line": 3, "stride_length": 0.40, "knee_bend_plant": 45, "front_knee_bend_plant": 40, "front_shoulder_open": 5,
	"change_time": 0.24, "feet_lag": 0.0, "landing_time": 0.60, "plant_to_release": 0.25,
}

func throwRubric(t testing.TB) *rubric.Rubric {
	t.Helper()
	src, _ := shipped("throw-to-second")
	r, problems := rubric.Parse("throw-to-second.yaml", src, shipped)
	if r == nil {
		t.Fatal(problems)
	}
	return r
}

// assess judges n like reps of a player, clean but for what differs.
func assess(t testing.TB, age, n int, differs map[string]any) *engine.Assessment {
	t.Helper()
	measures := maps.Clone(clean)
	maps.Copy(measures, differs)
	var reps []any
	for i := range n {
		reps = append(reps, map[string]any{"rep": i + 1, "measures": measures})
	}
	doc, err := json.Marshal(map[string]any{"rubric": "throw-to-second", "on": "2026-05-09", "reps": reps,
		"player": map[string]any{"ref": "P-1", "age": age, "stature_cm": 150}})
	if err != nil {
		t.Fatal(err)
	}
	o, problems := observation.Decode(doc)
	if o == nil {
		t.Fatal(problems)
	}
	a, problems := engine.Assess(engine.Request{Rubric: throwRubric(t), Observation: o})
	if a == nil {
		t.Fatal(problems)
	}
	return a
}

// TestWhatACoachWouldAccept holds the whole way to what a coach would say of
// the same throws (common practice, no source).
func TestWhatACoachWouldAccept(t *testing.T) {
	t.Run("a fumble and late feet", func(t *testing.T) {
		a := assess(t, 12, 3, map[string]any{"clean_change": false, "change_time": 0.50, "feet_lag": 0.22, "stride_off_line": 17, "landing_time": 1.08, "exchange_time": 1.30})
		roots := []string{"fumbled-change", "late-feet", "stride-off-line"}
		about := []float64{0.19, 0.07, 0.015}
		for i, c := range a.Chains[:3] {
			if c.Root != roots[i] || math.Abs(float64(c.RecoversS)-about[i]) > 0.011 {
				t.Errorf("chain %d: %s gives back %v s, wanted %s about %v", i+1, c.Root, c.RecoversS, roots[i], about[i])
			}
		}
		if a.Clock.UnexplainedS >= 0.03 {
			t.Errorf("unexplained %v s", a.Clock.UnexplainedS)
		}
	})
	t.Run("tall alone", func(t *testing.T) {
		a := assess(t, 12, 3, map[string]any{"hip_height_set": 0.42, "hip_height_transfer": 0.47, "exchange_time": 1.02})
		if c := a.Chains[0]; c.Root != "tall-set" || math.Abs(float64(c.RecoversS)-0.02) > 0.01 {
			t.Errorf("%s gives back %v s, wanted tall-set about 0.02", c.Root, c.RecoversS)
		}
	})
	t.Run("a loss no fault explains", func(t *testing.T) {
		a := assess(t, 12, 3, map[string]any{"exchange_time": 1.70})
		if len(a.WorkOn) != 0 || !hasNote(a, "clock-does-not-fit") {
			t.Errorf("work on %v, notes %v", a.WorkOn, a.Notes)
		}
	})
	t.Run("clean and fast", func(t *testing.T) {
		a := assess(t, 12, 3, map[string]any{"exchange_time": 0.95})
		for _, f := range a.Findings {
			if f.Verdict == verdict.Fault || f.Verdict == verdict.Close {
				t.Errorf("%s is %s", f.Fault, f.Verdict)
			}
		}
		if len(a.Keep) < 20 || len(a.WorkOn) != 0 {
			t.Errorf("%d to keep, %d to work on", len(a.Keep), len(a.WorkOn))
		}
	})
}

func hasNote(a *engine.Assessment, code string) bool {
	for _, n := range a.Notes {
		if n.Code == code {
			return true
		}
	}
	return false
}
