package practice

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"rootcue/engine/shape"
	"rootcue/engine/shape/shapetest"
)

const eveningYAML = `practice: {minutes: 60, turn: 12, helpers: 3}
stations:
  - {drill: shoulder-change, places: 3, throws: 0}
  - {drill: knee-throws, places: 2, throws: 10, helper: true}
players:
  - {ref: P-0733, throws_left: 30, gains: {shoulder-change: 0.06, knee-throws: 0.02}}
  - {ref: P-0741, assessment: p-0741.json}
`

func TestReadAPractice(t *testing.T) {
	got, problems := Read("practice.yaml", []byte(eveningYAML))
	if problems != nil {
		t.Fatalf("problems: %+v", problems)
	}
	want := evening()
	want.Players[1] = Player{Ref: "P-0741", Gains: map[string]float64{}}
	if d := cmp.Diff(want, got.Practice); d != "" {
		t.Error(d)
	}
	if len(got.Sources) != 1 || got.Sources[0].Player != 1 || got.Sources[0].Name != "p-0741.json" {
		t.Errorf("sources: %+v", got.Sources)
	}
	if p := got.Sources[0].Problem("cannot-read", "x", "y", ""); p.Line != 7 || p.Column != 31 || p.File != "practice.yaml" {
		t.Errorf("place of a source: %+v", p)
	}
}

func TestReadTakesJSONWithTheAssessmentInIt(t *testing.T) {
	got, problems := Read("", []byte(`{"practice": {"minutes": 30, "turn": 10, "helpers": 0},
		"stations": [{"drill": "box", "places": 1, "throws": 5}],
		"players": [{"ref": "P-1", "assessment": {"id": "a", "player": {"ref": "P-1"}, "cautions": [{"level": "stop", "stops": ["throwing"]}],
			"findings": [{"fault": "late-feet", "chance": 0.5}], "chains": [{"root": "late-feet", "recovers_s": 0.1}],
			"work_on": [{"fault": "late-feet", "drills": [{"drill": "box"}]}]}}]}`))
	if problems != nil {
		t.Fatalf("problems: %+v", problems)
	}
	if p := got.Practice.Players[0]; p.Gains["box"] != 0.05 || !p.Stopped {
		t.Errorf("player: %+v", p)
	}
}

// beyond are the rules that no JSON Schema can say, or that ours leaves to the
// reader of assessments: the schema takes what breaks one. All others it says.
var beyond = []string{"shorter than a turn", "more turns than are planned", "a drill twice", "a player twice", "both", "a number for an assessment", "no assessment", "an observation"}

// What is refused is refused by the schema too, but for the rules in beyond.
func TestReadSaysWhatIsWrongAndWhere(t *testing.T) {
	schema := shapetest.Compile(t, Form.Schema("urn:practice", ""))
	if !takes(t, schema, eveningYAML) {
		t.Error("the schema refuses a good practice")
	}
	for _, c := range []struct {
		name, old, new string
		code           string
		line, column   int
		says           string // in found, wanted or hint
	}{
		{"an unknown key", "throws_left", "throws_lef", "unknown-key", 6, 19, "throws_left"},
		{"no places", "places: 3, ", "", "missing-key", 3, 5, "places"},
		{"a word for minutes", "minutes: 60", "minutes: long", "wrong-type", 1, 21, "number"},
		{"half a place", "places: 3", "places: 2.5", "wrong-type", 3, 38, "whole"},
		{"no place", "places: 3", "places: 0", "out-of-range", 3, 38, "from 1"},
		{"shorter than a turn", "minutes: 60", "minutes: 6", "bad-practice", 1, 21, "from 12"},
		{"a drill twice", "drill: knee-throws", "drill: shoulder-change", "bad-practice", 4, 13, "once"},
		{"a player twice", "ref: P-0741", "ref: P-0733", "bad-practice", 7, 11, "once"},
		{"more turns than are planned", "minutes: 60, turn: 12", "minutes: 600, turn: 1", "bad-practice", 1, 32, "at most 60 turns"},
		{"a loss", "knee-throws: 0.02", "knee-throws: -0.02", "out-of-range", 6, 80, "from 0"},
		{"neither", ", assessment: p-0741.json", "", "missing-key", 7, 5, "none of the keys gains, assessment"},
		{"both", "assessment: p-0741.json", "gains: {}, assessment: p-0741.json", "both-given", 7, 42, "one of them"},
		{"a number for an assessment", "assessment: p-0741.json", "assessment: 7", "wrong-type", 7, 31, "file"},
		{"no assessment", "assessment: p-0741.json", "assessment: {findings: 7}", "not-an-assessment", 7, 31, "a number under findings"},
		{"an observation", "assessment: p-0741.json", "assessment: {player: {ref: P-0741}}", "not-an-assessment", 7, 31, "without one of"},
		{"not YAML", "stations:", "stations: [", "not-yaml", 0, 0, ""},
		{"no player", eveningYAML[strings.Index(eveningYAML, "players:"):], "players: []\n", "wrong-length", 5, 10, "1 to 500"},
	} {
		src := strings.Replace(eveningYAML, c.old, c.new, 1)
		if taken := takes(t, schema, src); taken != slices.Contains(beyond, c.name) {
			t.Errorf("%s: the schema takes it: %v", c.name, taken)
		}
		d, problems := Read("p.yaml", []byte(src))
		if d != nil || len(problems) == 0 {
			t.Errorf("%s: read without problem", c.name)
			continue
		}
		p := problems[0]
		if p.Code != c.code || c.line > 0 && (p.Line != c.line || p.Column != c.column) || !strings.Contains(p.Found+p.Wanted+p.Hint, c.says) {
			t.Errorf("%s: got %+v", c.name, p)
		}
	}
}

// takes reports whether a schema takes a document; what is no YAML it never sees.
func takes(t *testing.T, s *jsonschema.Schema, src string) bool {
	t.Helper()
	n, _ := shape.Read("p.yaml", []byte(src))
	return n != nil && shapetest.Validate(t, s, n.JSON()) == nil
}

func TestAGainAtADrillNobodyOffersIsWarnedOf(t *testing.T) {
	d, problems := Read("p.yaml", []byte(strings.Replace(eveningYAML, "{shoulder-change: 0.06", "{sholder-change: 0.06", 1)))
	if d == nil || len(problems) != 1 || !problems[0].Warning || problems[0].Code != "unknown-drill" || problems[0].Hint != `did you mean "shoulder-change"?` {
		t.Errorf("%+v", problems)
	}
}

func TestReadAssessment(t *testing.T) {
	const good = `{"player": {}, "cautions": [], "findings": [], "chains": [], "work_on": []}`
	for text, want := range map[string]string{
		good: "",
		strings.Replace(good, `"work_on": []`, `"work_on": null`, 1): "without one of",
		strings.Replace(good, `"chains": []`, `"chains": ["x"]`, 1):  "a string under chains",
		`[]`: "a array",
		`{`:  "not JSON",
	} {
		_, err := ReadAssessment([]byte(text))
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(eveningYAML))
	f.Add([]byte(`{"practice": {"minutes": 1e99, "turn": 1, "helpers": 0}, "stations": [], "players": [{"ref": "a", "assessment": {}}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		d, problems := Read("p", data)
		if d == nil && len(problems) == 0 {
			t.Fatal("neither a practice nor a problem")
		}
		if d != nil && len(d.Practice.Players) < 10 {
			Make(d.Practice)
		}
	})
}
