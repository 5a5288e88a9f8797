package api_test

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"rootcue/api"
	"rootcue/engine/observation"
	"rootcue/engine/shape/shapetest"
	"rootcue/engine/unit"
	"rootcue/testdata/demo"
)

// standalone compiles a schema as an editor would.
func standalone(t *testing.T, raw []byte) *jsonschema.Schema {
	t.Helper()
	var says struct {
		Draft string `json:"$schema"`
	}
	if err := json.Unmarshal(raw, &says); err != nil {
		t.Fatal(err)
	}
	if says.Draft != "https://json-schema.org/draft/2020-12/schema" {
		t.Errorf("$schema is %q", says.Draft)
	}
	return shapetest.Compile(t, raw)
}

// What the schema takes the reader takes, and the other way round, slip by
// slip of form.
func TestObservationSchema(t *testing.T) {
	s := standalone(t, api.ObservationSchema())
	base := `{"rubric": "throw-to-second", "player": {"ref": "P-0733", "age": 14}, "on": "2026-05-09", "reps": [{"rep": 1, "measures": {"stride_off_line": 17}}]}`
	for _, c := range []struct {
		old, new string
		good     bool
	}{
		{"", "", true},
		{`"rubric": "throw-to-second", `, ``, true},
		{`"rubric": "throw-to-second"`, `"rubric": null`, true},
		{`17`, `null`, true}, {`17`, `true`, true}, {`17`, `{"value": 17, "u": 2, "unit": "deg"}`, true}, {`17`, `{"value": null}`, true},
		{`17`, `"17"`, false}, {`17`, `[17]`, false}, {`17`, `{"value": 17, "u": -1}`, false}, {`17`, `{"value": 17, "unit": "parsec"}`, false}, {`17`, `{"valu": 17}`, false},
		{`"age": 14`, `"born": "2012-02"`, true}, {`"age": 14`, `"age": 14, "born": null`, true}, {`"age": 14`, `"age": 14, "born": "2012-13"`, false}, {`"age": 14`, `"age": 14.5`, false}, {`"age": 14`, `"age": 0`, false}, {`"age": 14`, `"age": "14"`, false},
		{`"age": 14`, `"age": 14, "stature_cm": 163`, true}, {`"age": 14`, `"age": 14, "stature_cm": 1630`, false}, {`"age": 14`, `"age": 14, "stature_on": "2026-05-01", "throws": "left"`, true}, {`"age": 14`, `"age": 14, "throws": "both"`, false},
		{`"ref": "P-0733", `, ``, false}, {`"on": "2026-05-09", `, ``, false}, {`2026-05-09`, `9 May 2026`, false}, {`2026-05-09`, `2026-02-30`, false},
		{`"rep": 1, `, ``, false}, {`"rep": 1`, `"rep": 1.5`, false}, {`"rep": 1`, `"rep": 1, "held": ["late-feet"], "clip": "cam1/0412"`, true}, {`"rep": 1`, `"rep": 1, "held": "late-feet"`, false},
		{`"reps": [`, `"colour": "red", "reps": [`, false}, {`"reps": [`, `"session": "s", "rater": "E-1", "reps": [`, true},
		{`"reps": [`, `"conditions": {"ball": "dry", "base_path": {"value": 80, "unit": "ft"}, "thrown": false, "pitch": null}, "reps": [`, true},
		{`"reps": [`, `"conditions": {"ball": "wet"}, "reps": [`, false}, {`"reps": [`, `"conditions": {"base_path": true}, "reps": [`, false}, {`"reps": [`, `"conditions": {"wind": 3}, "reps": [`, false},
		{`"rep": 1`, `"rep": 1, "marks": {"fps": 120, "frames": {"catch": 118, "release": 238, "set": null}}`, true},
		{`"rep": 1`, `"rep": 1, "marks": [{"view": "behind", "u_px": 3}, {"view": "side", "times": {"catch": 0.983}}]`, true},
		{`"rep": 1`, `"rep": 1, "marks": {"view": "above"}`, false}, {`"rep": 1`, `"rep": 1, "marks": {"frames": {"jump": 3}}`, false}, {`"rep": 1`, `"rep": 1, "marks": {"picture": [1920]}`, false},
		{`"rep": 1`, `"rep": 1, "marks": {"points": {"set": {"hip": [500, 700], "ball": null}}}`, true}, {`"rep": 1`, `"rep": 1, "marks": {"points": {"set": {"nose": [500, 700]}}}`, false},
		{`"rep": 1`, `"rep": 1, "marks": {"scale": {"from": [412, 880], "to": [412, 268], "length": {"value": 163, "unit": "cm"}}}`, true},
		{`"rep": 1`, `"rep": 1, "marks": {"scale": {"from": [412, 880], "length": {"value": 163, "unit": "cm"}}}`, false},
	} {
		document := []byte(strings.Replace(base, c.old, c.new, 1))
		schemaErr := shapetest.Validate(t, s, document)
		_, slips := observation.Decode(document)
		if (schemaErr == nil) != c.good || (len(slips) == 0) != c.good {
			t.Errorf("with %q for %q: schema says %v, reader says %v, wanted good = %v", c.new, c.old, schemaErr, slips, c.good)
		}
	}
}

// Of the bad observations that stand in the project, those that the schema takes
// break a rule that it cannot say: one that needs the rubric, the file's bytes
// or two places of the document.
func TestBeyondTheObservationSchema(t *testing.T) {
	s := standalone(t, api.ObservationSchema())
	files, err := filepath.Glob("../testdata/observations/bad/*.json")
	if err != nil || len(files) == 0 {
		t.Fatal(err)
	}
	var beyond []string
	for _, f := range files {
		document, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		if v, err := jsonschema.UnmarshalJSON(bytes.NewReader(document)); err == nil && s.Validate(v) == nil {
			beyond = append(beyond, strings.TrimSuffix(filepath.Base(f), ".json"))
		}
	}
	if diff := cmp.Diff(strings.Fields(beyondObservations), beyond); diff != "" {
		t.Errorf("listed - and taken by the schema +:\n%s", diff)
	}
}

const beyondObservations = `
	age-and-born-disagree age-in-no-band bad-utf-8 base-path-in-metres-by-mistake base-path-in-seconds born-in-no-band
	formula-divides-by-zero formula-implausible held-fault-misspelt implausible-in-another-unit implausible
	measure-of-another-rubric misspelt-measure number-for-yes-no number-too-large rep-number-repeated
	repeated-key-at-the-top repeated-key several-slips-of-meaning unit-of-another-dimension yes-no-for-a-number`

func TestObservationSchemaNamesEveryUnit(t *testing.T) {
	for _, name := range unit.Names() {
		if quoted, _ := json.Marshal(name); !bytes.Contains(api.ObservationSchema(), quoted) {
			t.Errorf("the unit %s is not in the schema", name)
		}
	}
}

// Observations that stand in the project fit, and their assessments fit theirs.
func TestSchemasOfRealDocuments(t *testing.T) {
	observations, assessments := standalone(t, api.ObservationSchema()), standalone(t, api.AssessmentSchema())
	documents := map[string][]byte{}
	files, err := fs.Glob(demo.Observations, "*.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if documents[f], err = demo.Observations.ReadFile(f); err != nil {
			t.Fatal(err)
		}
	}
	marked, err := filepath.Glob("../testdata/marks/*.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range append(marked, "../testdata/observations/off-line.json", "../testdata/observations/tall.json") {
		if documents[f], err = os.ReadFile(f); err != nil {
			t.Fatal(err)
		}
	}
	for name, document := range documents {
		if _, slips := observation.Decode(document); len(slips) > 0 {
			continue // no observation document
		}
		if err := shapetest.Validate(t, observations, document); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		w := ask(t, plainServer(), "POST", "/v1/assess", string(document))
		if w.Code != 200 {
			continue // a document made to be refused
		}
		if err := shapetest.Validate(t, assessments, w.Body.Bytes()); err != nil {
			t.Errorf("the assessment of %s: %v", name, err)
		}
	}
}

// An assessment with a key left out, or one too many, does not fit.
func TestAssessmentSchemaIsClosed(t *testing.T) {
	s := standalone(t, api.AssessmentSchema())
	var whole map[string]any
	if err := json.Unmarshal(example(t, "assess.answer"), &whole); err != nil {
		t.Fatal(err)
	}
	if err := s.Validate(whole); err != nil {
		t.Fatal(err)
	}
	for key := range whole {
		less := map[string]any{}
		for k, v := range whole {
			if k != key {
				less[k] = v
			}
		}
		if s.Validate(less) == nil {
			t.Errorf("an assessment without %s fits", key)
		}
	}
	whole["colour"] = "red"
	if s.Validate(whole) == nil {
		t.Error("an assessment with a key too many fits")
	}
}

func TestTitlesOfKeys(t *testing.T) {
	d, _ := openapi()
	for where, want := range map[string]string{"Finding.costs_s": "Costs, s", "Finding.u_costs_s": "Standard uncertainty of costs, s", "PlayerSeen.stature_m": "Stature, m", "Part.u": "Standard uncertainty", "Finding.in_context": "In context", "Chain.recovers_s": "Recovers, s"} {
		name, key, _ := strings.Cut(where, ".")
		p := d.Components.Schemas[name]["properties"].(map[string]any)[key].(map[string]any)
		if p["title"] != want {
			t.Errorf("%s has the title %v, wanted %q", where, p["title"], want)
		}
	}
}
