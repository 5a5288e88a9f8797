package observation_test

import (
	"encoding/json"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/engine/civil"
	"rootcue/engine/observation"
	"rootcue/engine/rubric"
	"rootcue/engine/unit"
)

// whole is a document with every key that is not marks.
const whole = `{
  "rubric": "throw-to-second", "rater": "E-2", "session": "S-9",
  "player": {"ref": "P-0733", "age": 14, "born": "2011-06", "stature_cm": 163, "stature_on": "2026-04-01", "throws": "left"},
  "on": "2026-05-09",
  "conditions": {"base_path": {"value": 80, "unit": "ft"}, "throw_to": "second", "ball": "dry", "stance": "knee-down", "pitch": "dirt", "batter": "left", "runner_may_lead": true, "thrown": false},
  "reps": [
    {"rep": 1, "clip": "cam1/0412", "conditions": {"base_path": 90}, "held": ["late-feet"],
     "measures": {"stride_off_line": 17, "hip_height_set": {"value": 52, "u": 2, "unit": "cm"}, "mitt_open": true, "grip_across": false, "elbow_height_release": null, "drawback": {"value": null}}},
    {"rep": 2, "measures": null, "marks": null, "conditions": null, "held": null, "clip": null}
  ]
}`

func TestDecode(t *testing.T) {
	yes, no := true, false
	cm := unit.Must("cm")
	conditions := observation.Conditions{BasePath: &observation.Reading{Measure: "base_path", X: 80, Unit: unit.Must("ft"), HasUnit: true}, RunnerMayLead: &yes, Thrown: &no}
	for c, word := range map[rubric.Condition]string{rubric.ThrowTo: "second", rubric.Ball: "dry", rubric.Stance: "knee-down", rubric.Pitch: "dirt", rubric.Batter: "left"} {
		conditions.Words[c] = word
	}
	want := &observation.Observation{
		Rubric: "throw-to-second", Rater: "E-2", Session: "S-9", On: civil.Date{Year: 2026, Month: 5, Day: 9}, Conditions: conditions,
		Player: observation.Player{Ref: "P-0733", Age: 14, BornYear: 2011, BornMonth: 6, StatureCM: 163, StatureOn: civil.Date{Year: 2026, Month: 4, Day: 1}, Throws: "left"},
		Reps: []observation.Rep{
			{Number: 1, Clip: "cam1/0412", Held: []string{"late-feet"}, Conditions: observation.Conditions{BasePath: &observation.Reading{Measure: "base_path", X: 90}},
				Measures: []observation.Reading{
					{Measure: "stride_off_line", X: 17},
					{Measure: "hip_height_set", X: 52, U: 2, HasU: true, Unit: cm, HasUnit: true},
					{Measure: "mitt_open", YesNo: true, Yes: true},
					{Measure: "grip_across", YesNo: true},
				}},
			{Number: 2},
		},
	}
	got, problems := observation.Decode([]byte(whole))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if diff := cmp.Diff(want, got, cmp.AllowUnexported(unit.Unit{})); diff != "" {
		t.Error(diff)
	}
}

// TestNullIsNotSeen: a value that is null leaves no trace.
func TestNullIsNotSeen(t *testing.T) {
	without, _ := observation.Decode([]byte(`{"player": {"ref": "P", "age": 9}, "on": "2026-05-09", "reps": [{"rep": 1, "measures": {}}]}`))
	with, problems := observation.Decode([]byte(`{"rubric": null, "rater": null, "conditions": {"ball": null, "thrown": null}, "session": null,
		"player": {"ref": "P", "age": 9, "born": null, "stature_cm": null, "stature_on": null, "throws": null}, "on": "2026-05-09",
		"reps": [{"rep": 1, "measures": {"exchange_time": null, "mitt_open": {"value": null}}}]}`))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if diff := cmp.Diff(without, with); diff != "" {
		t.Error(diff)
	}
}

// FuzzDecode: no document makes the reader panic, and what is refused is told.
func FuzzDecode(f *testing.F) {
	f.Add([]byte(whole))
	f.Add([]byte(`{"reps": [{"marks": {"frames": {"catch": 1}}}]}`))
	f.Fuzz(func(t *testing.T, doc []byte) {
		o, problems := observation.Decode(doc)
		if (o == nil) != (len(problems) > 0) {
			t.Fatalf("observation %v with problems %v", o, problems)
		}
		if o != nil && !json.Valid(doc) {
			t.Fatal("accepted what is no JSON")
		}
		for _, p := range problems {
			if p.Code == "" || p.Found == "" || p.Wanted == "" || len(p.Pointer) > 400 {
				t.Fatalf("problem %+v", p)
			}
		}
	})
}

// FuzzAssess: whatever is decoded is judged or refused, and the answer is JSON.
func FuzzAssess(f *testing.F) {
	f.Add([]byte(whole))
	f.Add([]byte(`{"player": {"ref": "P-1", "age": 12}, "on": "2026-05-09", "reps": [{"rep": 1, "measures": {"throw_speed": 60, "pop_time": 2.2, "exchange_time": 0.9, "hand_path": 0.9, "straight_path": 0.5}}]}`))
	f.Add([]byte(`{"player": {"ref": "P-1", "age": 15}, "on": "2026-05-09", "reps": []}`))
	r := throwToSecond(f)
	f.Fuzz(func(t *testing.T, doc []byte) {
		a, problems := judge(r, doc)
		if (a == nil) != (len(problems) > 0) {
			t.Fatalf("assessment %v with problems %v", a, problems)
		}
		if a == nil {
			return
		}
		if out, err := a.JSON(); err != nil || !json.Valid(out) {
			t.Fatalf("%v: %s", err, out)
		}
	})
}
