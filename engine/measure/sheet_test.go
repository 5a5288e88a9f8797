package measure_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"rootcue/engine/measure"
	"rootcue/engine/observation"
	"rootcue/engine/place"
	"rootcue/engine/rubric"
)

// small is a rubric with a measure of each kind, two bands, and formulas that
// read each other.
const small = `
rubric: small
title: A small rubric
cutoff: 04-30
bands: {"7-10": {ages: [7, 10]}, "11-18": {ages: [11, 18]}}
conditions: {throw_to: second, ball: live, pitch: strike, base_path: {"7-10": 60, "11-18": 90, unit: ft}}
constants:
  hand_speed: {value: 2, u: 0.5, unit: m/s}
  gap: {value: 0, unit: s}
measures:
  height: {title: Height, unit: stature, plausible: [0, 1], u: 0.02}
  depth: {title: Depth, unit: stature, u: 0.01}
  reach: {title: Reach, unit: m, u: 0.05}
  turn: {title: Turn, unit: deg, u: 5}
  open: {title: Open, kind: yes-no}
  neat: {title: Neat, kind: grade, scale: [1, 5], u: 0.5}
  exchange_time: {title: Exchange, unit: s, u: 0.02}
  change_time: {title: Change, unit: s, u: 0.02}
  pop_time: {title: Pop, unit: s, u: 0.02}
  wait: {title: Wait, unit: s, plausible: [-9, 9]}
  half: {title: Half the height, unit: stature, formula: height / 2}
  square: {title: Its square, unit: "1", formula: half * half}
  ratio: {title: Height to depth, unit: "1", formula: height / depth}
  way: {title: Time of the way, unit: ms, formula: height * stature / hand_speed}
faults:
  high: {title: High, measure: height, at_most: 0.4, costs: (height - limit) * stature / hand_speed}
  shut: {title: Shut, measure: open, must_be: true}
  slow: {title: Slow, when: exchange_time > 1 && open, only_if: 1 / gap > 0 || pitch != "dirt"}
  far: {title: Far, when: exchange_time / wait > 2, costs: exchange_time / wait}
`

func parse(t testing.TB, src string) *rubric.Rubric {
	t.Helper()
	r, problems := rubric.Parse("small.yaml", []byte(src), nil)
	if r == nil {
		t.Fatal(place.Render(problems, func(string) []byte { return []byte(src) }))
	}
	return r
}

// document writes an observation of a player with reps, each the inside of its
// JSON object.
func document(player, rest string, reps ...string) []byte {
	var list []string
	for i, rep := range reps {
		list = append(list, fmt.Sprintf(`{"rep": %d, %s}`, i+1, rep))
	}
	return fmt.Appendf(nil, `{"player": {"ref": "P", %s}, "on": "2026-05-09", %s"reps": [%s]}`, player, rest, strings.Join(list, ", "))
}

func tryRead(t testing.TB, r *rubric.Rubric, doc []byte) (*measure.Sheet, []place.Problem) {
	t.Helper()
	o, problems := observation.Decode(doc)
	if o == nil {
		t.Fatalf("%v\n%s", problems, doc)
	}
	return measure.Read(r, o)
}

// read reads an observation of a player of 12 and 150 cm with measures only.
func read(t testing.TB, reps ...string) *measure.Sheet {
	t.Helper()
	for i := range reps {
		reps[i] = `"measures": {` + reps[i] + `}`
	}
	return readDocument(t, document(`"age": 12, "stature_cm": 150`, "", reps...))
}

func readDocument(t testing.TB, doc []byte) *measure.Sheet {
	t.Helper()
	s, problems := tryRead(t, parse(t, small), doc)
	if s == nil {
		t.Fatalf("%v\n%s", problems, doc)
	}
	return s
}

// mean is a measure over the free reps.
func mean(s *measure.Sheet, name string) measure.Mean {
	return s.Mean(s.Rubric.MeasureNamed(name), s.Free())
}

// within fails unless got lies within a billionth of want.
func within(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-9*math.Max(1, math.Abs(want))) {
		t.Errorf("%s is %.12g, wanted %.12g", what, got, want)
	}
}

func hasNote(s *measure.Sheet, code string) bool {
	for _, n := range s.Notes {
		if n.Code == code && n.Says != "" {
			return true
		}
	}
	return false
}
