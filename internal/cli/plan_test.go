package cli

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"
)

const practiceYAML = `practice: {minutes: 60, turn: 12, helpers: 1}
stations:
  - {drill: shoulder-change, places: 1, throws: 0}
  - {drill: knee-throws, places: 2, throws: 10, helper: true}
players:
  - {ref: P-0733, throws_left: 10, gains: {shoulder-change: 0.06, knee-throws: 0.02}}
  - {ref: P-0741, assessment: p-0741.json}
`

const assessmentJSON = `{"id": "x", "player": {"ref": "P-0741"}, "cautions": [],
 "findings": [{"fault": "late-feet", "verdict": "fault", "chance": 0.9}],
 "chains": [{"rank": 1, "root": "late-feet", "recovers_s": 0.1}],
 "work_on": [{"fault": "late-feet", "cue": "…", "drills": [{"drill": "knee-throws", "throws": 10}]}]}`

func TestPlanReadsTheAssessmentsBesideIt(t *testing.T) {
	dir := inFolder(t, map[string]string{"evening.yaml": practiceYAML, "p-0741.json": assessmentJSON})
	out, errs, code := runGroup(t, "", "plan", "--format", "json", filepath.Join(dir, "evening.yaml"))
	if code != exitDone || errs != "" {
		t.Fatalf("code %d, %s", code, errs)
	}
	var plan struct {
		Turns []struct {
			Turn     int
			Stations []struct {
				Drill   string
				Players []string
			}
		}
		Gain     float64 `json:"gain_s"`
		Bound    float64 `json:"bound_s"`
		LeftOver []any   `json:"left_over"`
		Players  []struct {
			Ref    string
			Gain   float64 `json:"gain_s"`
			Throws int
			Why    string
		}
	}
	if err := json.Unmarshal([]byte(out), &plan); err != nil {
		t.Fatal(err)
	}
	// 0.06 + 0.03 and one turn of 0.02; 0.09 + 0.045 from the assessment.
	if plan.Gain != 0.245 || plan.Bound != 0.245 || len(plan.Turns) != 5 || len(plan.Players) != 2 || plan.LeftOver == nil {
		t.Errorf("%+v", plan)
	}
	if p := plan.Players[1]; p.Ref != "P-0741" || p.Gain != 0.135 || p.Throws != 20 || p.Why == "" {
		t.Errorf("%+v", p)
	}
}

func TestPlanKeepsAStop(t *testing.T) {
	stopped := strings.Replace(assessmentJSON, `"cautions": []`, `"cautions": [{"code": "rest", "level": "stop", "stops": ["throwing"]}]`, 1)
	dir := inFolder(t, map[string]string{"evening.yaml": practiceYAML, "p-0741.json": stopped})
	out, _, code := runGroup(t, "", "plan", filepath.Join(dir, "evening.yaml"))
	if code != exitDone || !strings.Contains(out, "P-0741: 0.000 s, 0 throws (no turn; throwing is stopped") || !strings.Contains(out, "P-0741 knee-throws (0.090 s a turn): throwing is stopped") {
		t.Errorf("code %d\n%s", code, out)
	}
}

func TestPlanInWords(t *testing.T) {
	out, errs, code := runGroup(t, "", "plan", "../../testdata/practices/evening.yaml")
	if code != exitDone || errs != "" {
		t.Fatalf("code %d, %s", code, errs)
	}
	for _, part := range []string{"The group gains", "no plan gains more", "Turn 5", "nothing that helps anyone", "P-0741", "Left over", "knee-throws: needs a helper for the whole practice", "clinician"} {
		if !strings.Contains(out, part) {
			t.Errorf("no %q in\n%s", part, out)
		}
	}
}

func TestPlanGoesWrong(t *testing.T) {
	for _, c := range []struct {
		name, old, new string
		code           int
		errs           []string
	}{
		{"a misspelt key", "throws_left", "throws_lft", exitInput, []string{"6:19:", "did you mean \"throws_left\"?", "^"}},
		{"no place", "places: 1", "places: 0", exitInput, []string{"3:38: found the number 0 for places; wanted a whole number from 1 to 1000"}},
		{"no such assessment", "p-0741.json", "none.json", exitInput, []string{"7:31: found no file", "none.json"}},
		{"not an assessment", "p-0741.json", "evening.yaml", exitInput, []string{"7:31: found text that is not JSON", "rootcue assess"}},
		{"a gain nobody offers", "{shoulder-change: 0.06", "{sholder-change: 0.06", exitDone, []string{"warning: found a gain at sholder-change", "did you mean \"shoulder-change\"?"}},
		{"not YAML", "players:", "players: [", exitInput, []string{"no practice to plan"}},
	} {
		dir := inFolder(t, map[string]string{"evening.yaml": strings.Replace(practiceYAML, c.old, c.new, 1), "p-0741.json": assessmentJSON})
		out, errs, code := runGroup(t, "", "plan", filepath.Join(dir, "evening.yaml"))
		if code != c.code || (out == "") != (c.code != exitDone) {
			t.Errorf("%s: code %d, answer %q", c.name, code, out)
		}
		for _, part := range c.errs {
			if !strings.Contains(errs, part) {
				t.Errorf("%s: no %q in %s", c.name, part, errs)
			}
		}
	}
	if _, _, code := runGroup(t, "", "plan", filepath.Join(t.TempDir(), "none.yaml")); code != exitCannot {
		t.Errorf("no file: code %d", code)
	}
	if out, _, code := runGroup(t, strings.Replace(practiceYAML, "assessment: p-0741.json", "gains: {}", 1), "plan", "--format", "json", "-"); code != exitDone || !strings.Contains(out, `"gain_s":0.11`) {
		t.Errorf("from standard input: code %d, %s", code, out)
	}
}
