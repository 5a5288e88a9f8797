package report

import (
	"encoding/json"
	"maps"
	"testing"

	"rootcue/engine"
	"rootcue/engine/observation"
	"rootcue/engine/progress"
	"rootcue/engine/rubric"
	"rootcue/engine/workload"
	"rootcue/rubrics"
)

// sound is a thrower without a fault in any band.
var sound = map[string]any{
	"hip_height_set": 0.30, "foot_stagger_set": 0.05, "shoulder_turn_set": 5, "mitt_open": true, "hand_protected": true,
	"hand_height_set": 0.04, "grip_across": true, "clean_change": true, "transfer_height": 0.06, "hip_height_transfer": 0.36,
	"drawback": 0.17, "ball_drop": 0.0, "elbow_height_release": 0.05, "follow_through": true, "first_step_off_line": 3,
	"stride_off_line": 3, "stride_length": 0.40, "knee_bend_plant": 45, "front_knee_bend_plant": 40, "front_shoulder_open": 5,
	"change_time": 0.24, "feet_lag": 0.0, "landing_time": 0.60, "plant_to_release": 0.25,
}

// all the ways in which the invented players differ from a sound thrower.
var (
	fumbler  = map[string]any{"clean_change": false, "change_time": 0.50, "feet_lag": 0.22, "stride_off_line": 17, "landing_time": 1.08, "exchange_time": 1.30, "throw_speed": 50}
	tall     = map[string]any{"hip_height_set": 0.44, "hip_height_transfer": 0.50, "knee_bend_plant": 12, "exchange_time": 1.31}
	flying   = map[string]any{"front_shoulder_open": 55, "elbow_height_release": -0.08, "stride_length": 0.70, "exchange_time": 0.98, "throw_speed": 62}
	lowHands = map[string]any{"transfer_height": -0.14, "ball_drop": 0.12, "path_ratio": 2.9, "hand_height_set": -0.16, "exchange_time": 1.05}
)

func parsed(t testing.TB, name string) *rubric.Rubric {
	t.Helper()
	files := func(name string) ([]byte, bool) {
		b, err := rubrics.Files.ReadFile(name + ".yaml")
		return b, err == nil
	}
	src, _ := files(name)
	r, problems := rubric.Parse(name+".yaml", src, files)
	if r == nil {
		t.Fatal(problems)
	}
	return r
}

// judged assesses n like reps of an invented player.
func judged(t testing.TB, rubricName string, player map[string]any, n int, measures map[string]any) *engine.Assessment {
	t.Helper()
	var reps []any
	for i := range n {
		reps = append(reps, map[string]any{"rep": i + 1, "clip": "cam1/0412", "measures": measures})
	}
	doc, err := json.Marshal(map[string]any{"rubric": rubricName, "on": "2026-05-09", "reps": reps, "player": player})
	if err != nil {
		t.Fatal(err)
	}
	o, problems := observation.Decode(doc)
	if o == nil {
		t.Fatal(problems)
	}
	a, problems := engine.Assess(engine.Request{Rubric: parsed(t, rubricName), Version: 3, Observation: o})
	if a == nil {
		t.Fatal(problems)
	}
	return a
}

// thrower assesses a thrower to second who differs from a sound one.
func thrower(t testing.TB, age, n int, differs map[string]any) *engine.Assessment {
	measures := maps.Clone(sound)
	maps.Copy(measures, differs)
	return judged(t, "throw-to-second", map[string]any{"ref": "P-0733", "age": age, "stature_cm": 150}, n, measures)
}

// demos are the pages that the tests look at, by name.
func demos(t testing.TB) map[string]Input {
	throw := parsed(t, "throw-to-second")
	full := thrower(t, 12, 5, fumbler)
	stopped := thrower(t, 14, 6, lowHands)
	stopped.ApplyGate(workload.Gate{EmptyAll: true, ThrowingStopped: true, Cautions: []workload.Caution{
		{Code: "pain-reported", Level: workload.Stop, Says: "Pain was reported on 2026-05-08: no throwing, catching or pitching until a licensed clinician clears the player.", Source: "common practice"},
		workload.Standing}})
	blocking := map[string]any{"read_early": true, "mitt_first": false, "mitt_between": true, "knees_together": true, "hand_behind": false, "chin_tucked": true, "face_to_ball": true,
		"rounded": 2, "chest_angle": 4, "recovery": 4, "ball_stopped": true, "ball_within_reach": true, "ball_in_front": true}
	return map[string]Input{
		"alone":    {Assessment: thrower(t, 12, 5, fumbler)},
		"full":     {Assessment: full, Rubric: throw, Since: trends(), Club: Club{Name: "Harbor Youth Baseball"}, ForFamily: true},
		"reviewed": {Assessment: full, Rubric: throw, Review: reviewed, Club: Club{Name: "Harbor Youth Baseball"}},
		"spanish":  {Assessment: full, Rubric: throw, Since: trends(), Review: reviewed, Lang: "es", ForFamily: true},
		"tall":     {Assessment: thrower(t, 10, 3, tall), Rubric: throw, ForFamily: true},
		"flying":   {Assessment: thrower(t, 16, 6, flying), Rubric: throw, ForFamily: true},
		"lowhands": {Assessment: thrower(t, 14, 6, lowHands), Rubric: throw, ForFamily: true},
		"stopped":  {Assessment: stopped, Rubric: throw, ForFamily: true},
		"sound":    {Assessment: thrower(t, 9, 4, map[string]any{"exchange_time": 1.05}), Rubric: throw, ForFamily: true},
		"blocking": {Assessment: judged(t, "blocking", map[string]any{"ref": "P-0741", "age": 9}, 4, blocking), Rubric: parsed(t, "blocking"), ForFamily: true},
	}
}

// reviewed is an instructor's word on the fumbler.
var reviewed = &Review{
	SetAside: []SetAside{{"stride-off-line", "The batter's box was wet that day."}},
	Cues:     []SwappedCue{{"fumbled-change", "Soft glove, then grab"}},
	Note:     "Good work all spring. Let us fix the hands first.",
}

func trends() *Since {
	return &Since{Rows: []Row{
		{Measure: "stride_off_line", Unit: "deg", Least: 4.2, Word: progress.Better, Points: []Point{{"2026-03-07", 24, 1.5}, {"2026-04-04", 22, 1.6}, {"2026-05-09", 17, 1.4}}},
		{Measure: "hip_height_set", Unit: "stature", Least: 0.06, Word: progress.NoRealChange, Points: []Point{{"2026-04-04", 0.32, 0.02}, {"2026-05-09", 0.30, 0.02}}},
		{Measure: "exchange_time", Unit: "s", Least: 0.08, Word: progress.Worse, Points: []Point{{"2026-03-07", 1.22, 0.02}, {"2026-04-04", 1.20, 0.02}, {"2026-05-09", 1.30, 0.02}}},
	}}
}
