package workload_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"rootcue/engine/place"
	"rootcue/engine/shape"
	"rootcue/engine/shape/shapetest"
	"rootcue/engine/workload"
)

const good = `policy: example-league
title: Example league, pitch counts
source: {by: Example League, edition: "2026", read: 2026-01-10, note: not endorsed; check the current edition}
age_on: 04-30
pitching:
  - ages: [9, 10]
    most_a_day: 75
    rest: [{to: 20, days: 0}, {to: 35, days: 1}, {to: 50, days: 2}, {to: 65, days: 3}, {to: 75, days: 4}]
    innings_in_12_months: 80
    days_running: 2
    months_off: {in_12: 4, running: 2, level: note}
catching:
  - ages: [7, 18]
    none_that_day_after_pitches: 41
    no_pitching_that_day_after_innings: 4
    no_return_after: {innings_caught: 1, pitches: 21}
throwing:
  - {ages: [6, 12], most_a_day: 50, level: watch}
examples:
  - {name: Monday 68, age: 10, ledger: [{date: 2026-05-04, kind: pitches, count: 68}], on: 2026-05-05, expect: {pitching: {answer: "no", next_day: 2026-05-09}}}
`

func TestGoodPolicy(t *testing.T) {
	p, problems := workload.Parse("good.yaml", []byte(good))
	if p == nil || len(problems) > 0 {
		t.Fatalf("%v", problems)
	}
	row := p.Pitching[0]
	if row.Ages != (workload.Ages{From: 9, To: 10}) || *row.MostADay != 75 || len(row.Rest) != 5 || row.Innings.String() != "80" || *row.Running != 2 ||
		*row.MonthsOff != (workload.MonthsOff{In12: 4, Running: 2, Level: "note"}) || row.Level != "stop" || row.LastBatter {
		t.Errorf("%+v", row)
	}
	c := p.Catching[0]
	if *c.NoneAfterPitches != 41 || *c.NoPitchingAfter != 4 || *c.NoReturn != (workload.NoReturn{Innings: 1, Pitches: 21}) || c.Level != "stop" {
		t.Errorf("%+v", c)
	}
	if th := p.Throwing[0]; *th.MostADay != 50 || th.Level != "watch" {
		t.Errorf("%+v", th)
	}
	if p.AgeOn.String() != "04-30" || p.Source.String() != "Example League, 2026 (read 2026-01-10)" {
		t.Errorf("%v, %v", p.AgeOn, p.Source)
	}
}

// beyond are the rules that the JSON Schema of policies cannot say: it takes what
// breaks one. All others it says. A key twice is gone before it is asked.
var beyond = []string{"ages the wrong way round", "tiers out of order", "less rest for more", "more months together than in all",
	"an example in the future", "an example that differs", "another answer",
	"a day that does not exist", "a cut-off that does not exist", "a key twice"}

// Each case changes one thing of the good policy and names what must be said.
// The schema refuses it too, but for the rules in beyond.
func TestBadPolicies(t *testing.T) {
	schema := shapetest.Compile(t, workload.Schema())
	if !takes(t, schema, good) {
		t.Error("the schema refuses the good policy")
	}
	for _, c := range []struct {
		name, old, new string
		line, column   int
		code, found    string
		hint           string
	}{
		{"a misspelt key", "most_a_day: 75", "most_aday: 75", 7, 5, "unknown-key", `"most_aday"`, `did you mean "most_a_day"?`},
		{"a comma for a point", "innings_in_12_months: 80", "innings_in_12_months: 80,5", 9, 27, "wrong-type", `"80,5"`, "80.5"},
		{"a negative count", "most_a_day: 75", "most_a_day: -75", 7, 17, "out-of-range", "-75", ""},
		{"half a pitch", "most_a_day: 75", "most_a_day: 7.5", 7, 17, "wrong-type", "7.5", ""},
		{"ages the wrong way round", "ages: [9, 10]", "ages: [10, 9]", 6, 12, "order", "ages from 10 to 9", "[9, 10]"},
		{"one age", "ages: [9, 10]", "ages: [9]", 6, 11, "wrong-length", "a list of 1 item", ""},
		{"no ages", "  - ages: [9, 10]\n    most", "  - most", 6, 5, "missing-key", "ages", ""},
		{"tiers out of order", "{to: 35, days: 1}", "{to: 15, days: 1}", 8, 36, "order", "to: 15 after to: 20", ""},
		{"less rest for more", "{to: 50, days: 2}", "{to: 50, days: 0}", 8, 65, "order", "0 days after 1 days", ""},
		{"more months together than in all", "running: 2,", "running: 5,", 11, 37, "out-of-range", "5", ""},
		{"an unknown level", "level: watch", "level: wacth", 18, 44, "unknown-word", "wacth", `did you mean "watch"?`},
		{"a day that does not exist", "read: 2026-01-10", "read: 2026-02-30", 3, 53, "bad-date", "2026-02-30", ""},
		{"a cut-off that does not exist", "age_on: 04-30", "age_on: 04-31", 4, 9, "bad-date", "04-31", ""},
		{"no source", "source: {by: Example League, edition: \"2026\", read: 2026-01-10, note: not endorsed; check the current edition}\n", "", 1, 1, "missing-key", "source", ""},
		{"an unknown kind in an example", "kind: pitches", "kind: pitchs", 20, 66, "unknown-word", "pitchs", `did you mean "pitches"?`},
		{"an example without an age", "age: 10, ", "", 20, 5, "missing-key", "none of the keys age, born", ""},
		{"an example in the future", "date: 2026-05-04", "date: 2026-06-04", 20, 48, "future-date", "2026-06-04", ""},
		{"an example that differs", "next_day: 2026-05-09", "next_day: 2026-05-08", 20, 148, "example-differs", "next_day of pitching comes out as 2026-05-09", "4 full days off"},
		{"another answer", `answer: "no"`, `answer: "yes"`, 20, 132, "example-differs", "answer of pitching comes out as no", ""},
		{"a key twice", "days_running: 2", "most_a_day: 2", 10, 5, "repeated-key", "most_a_day", ""},
		{"no rules", good[strings.Index(good, "pitching:"):], "", 1, 1, "missing-key", "none of the keys pitching, catching, throwing", ""},
		{"not YAML", "ages: [9, 10]", "ages: [9, 10", 0, 0, "not-yaml", "", ""},
	} {
		src := strings.Replace(good, c.old, c.new, 1)
		if src == good {
			t.Fatalf("%s: nothing changed", c.name)
		}
		if taken := takes(t, schema, src); taken != slices.Contains(beyond, c.name) {
			t.Errorf("%s: the schema takes it: %v", c.name, taken)
		}
		p, problems := workload.Parse("bad.yaml", []byte(src))
		if p != nil || !said(problems, c.line, c.column, c.code, c.found, c.hint) {
			t.Errorf("%s: %+v", c.name, problems)
		}
		if len(problems) > 1 && c.name != "another answer" && c.name != "no rules" {
			t.Errorf("%s: one slip told %d times: %+v", c.name, len(problems), problems)
		}
	}
}

// takes reports whether a schema takes a document; what is no YAML it never sees.
func takes(t *testing.T, s *jsonschema.Schema, src string) bool {
	t.Helper()
	n, _ := shape.Read("p.yaml", []byte(src))
	return n != nil && shapetest.Validate(t, s, n.JSON()) == nil
}

func said(problems []place.Problem, line, column int, code, found, hint string) bool {
	for _, p := range problems {
		if p.Code == code && (line == 0 || p.Line == line && p.Column == column) && strings.Contains(p.Found, found) && strings.Contains(p.Hint, hint) && p.Wanted != "" {
			return true
		}
	}
	return false
}

func TestPolicyWarnings(t *testing.T) {
	src := good[:strings.Index(good, "examples:")]
	p, problems := workload.Parse("p.yaml", []byte(strings.Replace(src, "most_a_day: 50, ", "", 1)))
	if p == nil || len(problems) != 2 || !said(problems, 1, 1, "no-examples", "no examples", "") || !said(problems, 18, 5, "empty-row", "a row of throwing", "") {
		t.Errorf("%+v", problems)
	}
	for _, w := range problems {
		if !w.Warning {
			t.Errorf("%+v is no warning", w)
		}
	}
}

// All problems are reported at once, in the order of the file.
func TestAllProblemsAtOnce(t *testing.T) {
	src := strings.NewReplacer("most_a_day: 75", "most_a_day: x", "days_running: 2", "days_runing: 2", "level: watch", "level: hard").Replace(good)
	_, problems := workload.Parse("p.yaml", []byte(src))
	var lines []int
	for _, p := range problems {
		lines = append(lines, p.Line)
	}
	if len(lines) != 3 || lines[0] != 7 || lines[1] != 10 || lines[2] != 18 {
		t.Errorf("%+v", problems)
	}
}

func TestSchema(t *testing.T) {
	var s struct {
		Schema     string                     `json:"$schema"`
		Properties map[string]json.RawMessage `json:"properties"`
		Required   []string                   `json:"required"`
	}
	if err := json.Unmarshal(workload.Schema(), &s); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"policy", "title", "source", "age_on", "pitching", "catching", "throwing", "examples"} {
		if s.Properties[key] == nil {
			t.Errorf("no property %s", key)
		}
	}
	if s.Schema != "https://json-schema.org/draft/2020-12/schema" || strings.Join(s.Required, " ") != "policy title source" {
		t.Errorf("%s, required %v", s.Schema, s.Required)
	}
}

// A league's own file counts like a shipped one, with levels of its own.
func TestLevelsOfARow(t *testing.T) {
	for hard, want := range map[string]string{"stop": "no 2026-05-06 rest", "limit": "no 2026-05-06 rest", "watch": "yes 75", "note": "yes 75"} {
		p := parse(t, strings.Replace(good[:strings.Index(good, "examples:")], "most_a_day: 75", "most_a_day: 75\n    level: "+hard, 1))
		a := ask(t, []*workload.Policy{p}, 10, "2026-05-05", "2026-05-04 pitches 30")
		if brief(a.Pitching) != want {
			t.Errorf("%s: %s, want %s", hard, brief(a.Pitching), want)
		}
		if got := level(a.Cautions, "workload-rest"); string(got) != hard {
			t.Errorf("%s: the caution is %s", hard, got)
		}
	}
}
