package api_test

import (
	"encoding/json"
	"io/fs"
	"slices"
	"testing"

	"rootcue/api"
	"rootcue/engine"
	"rootcue/testdata/demo"
)

// What each player of the invented club should work on first.
var firstInDemo = map[string]string{
	"d-01-low-change.json": "low-transfer", "d-02-sound.json": "", "d-03-tall-set.json": "tall-set", "d-04-late-feet.json": "late-feet",
	"d-05-off-line.json": "first-step-off-line", "d-06-long-arm.json": "drawback", "d-07-receiving.json": "low-pitch-stabbed",
}

func TestDemoObservations(t *testing.T) {
	files, err := fs.Glob(demo.Observations, "*.json")
	if err != nil || len(files) != len(firstInDemo) {
		t.Fatalf("found %v, wanted the %d of the table (%v)", files, len(firstInDemo), err)
	}
	for _, file := range files {
		body, err := demo.Observations.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		w := ask(t, plainServer(), "POST", "/v1/assess", string(body))
		if w.Code != 200 {
			t.Errorf("%s is answered %d: %s", file, w.Code, w.Body)
			continue
		}
		var a struct {
			WorkOn []engine.WorkOn `json:"work_on"`
		}
		if err := json.Unmarshal(w.Body.Bytes(), &a); err != nil {
			t.Fatal(err)
		}
		first := ""
		if len(a.WorkOn) > 0 {
			first = a.WorkOn[0].Fault
		}
		if first != firstInDemo[file] {
			t.Errorf("%s: first to work on is %q, wanted %q", file, first, firstInDemo[file])
		}
	}
}

func TestDemoObservationOfTheWelcome(t *testing.T) {
	if w := ask(t, plainServer(), "POST", "/v1/assess", api.DemoObservation); w.Code != 200 {
		t.Errorf("the line that the server prints is answered %d: %s", w.Code, w.Body)
	}
	if slices.Contains([]byte(api.DemoObservation), '\'') {
		t.Error("a quote in the observation breaks the printed line")
	}
}
