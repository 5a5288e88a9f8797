package measure_test

import (
	"math"
	"testing"

	"rootcue/engine/measure"
	"rootcue/engine/rubric"
)

// TestConditions: the rep's condition wins over the document's, that over the
// rubric's default for the band. A bare base path is in the rubric's unit.
func TestConditions(t *testing.T) {
	const ft = 0.3048
	for _, c := range []struct {
		name, player, document, rep string
		base                        float64
		ball, throwTo               string
		distance                    float64
	}{
		{"the band's default", `"age": 12`, ``, ``, 90 * ft, "live", "second", 90 * ft * math.Sqrt2},
		{"another band's default", `"age": 9`, ``, ``, 60 * ft, "live", "second", 60 * ft * math.Sqrt2},
		{"the document's", `"age": 12`, `"conditions": {"base_path": 70, "ball": "dry"}, `, ``, 70 * ft, "dry", "second", 70 * ft * math.Sqrt2},
		{"the rep's", `"age": 12`, `"conditions": {"base_path": 70, "ball": "dry"}, `, `"conditions": {"base_path": {"value": 24, "unit": "m"}}, `, 24, "dry", "second", 24 * math.Sqrt2},
		{"null leaves what stands", `"age": 12`, `"conditions": {"ball": "dry"}, `, `"conditions": {"ball": null}, `, 90 * ft, "dry", "second", 90 * ft * math.Sqrt2},
		{"to third", `"age": 12`, ``, `"conditions": {"throw_to": "third"}, `, 90 * ft, "live", "third", 90 * ft},
		{"to first", `"age": 12`, ``, `"conditions": {"throw_to": "first"}, `, 90 * ft, "live", "first", 90 * ft},
	} {
		s := readDocument(t, document(c.player, c.document, c.rep+`"measures": {}`))
		k := &s.Reps[0].Conditions
		within(t, c.name+": base path", k.BasePath, c.base)
		if ball, to := rubric.Enumerations[rubric.Ball][k.Ball], rubric.Enumerations[rubric.ThrowTo][k.ThrowTo]; ball != c.ball || to != c.throwTo {
			t.Errorf("%s: ball %s to %s", c.name, ball, to)
		}
		d, ok := measure.ThrowDistance(k)
		if !ok {
			t.Errorf("%s: no distance", c.name)
		}
		within(t, c.name+": distance", d, c.distance)
	}
}

// TestEveryConditionIsRead: words and yes-no conditions without a default are
// not seen until stated.
func TestEveryConditionIsRead(t *testing.T) {
	s := readDocument(t, document(`"age": 12`, "", `"measures": {}`))
	for _, c := range []rubric.Condition{rubric.Stance, rubric.Batter, rubric.RunnerMayLead, rubric.Thrown} {
		if s.Reps[0].Conditions.Seen[c] {
			t.Errorf("%s has a default", rubric.ConditionNames[c])
		}
	}
	s = readDocument(t, document(`"age": 12`, `"conditions": {"stance": "knee-down", "batter": "left", "pitch": "dirt", "runner_may_lead": true, "thrown": false}, `, `"measures": {}`))
	k := s.Reps[0].Conditions
	if k.Stance != rubric.WordNamed(rubric.Stance, "knee-down") || k.Batter != rubric.WordNamed(rubric.Batter, "left") || k.Pitch != rubric.WordNamed(rubric.Pitch, "dirt") || !k.RunnerMayLead || k.Thrown {
		t.Errorf("%+v", k)
	}
	for c, seen := range k.Seen {
		if !seen {
			t.Errorf("%s was not seen", rubric.ConditionNames[c])
		}
	}
}

// TestCommonConditions: one that differs between the reps asked for is not seen.
func TestCommonConditions(t *testing.T) {
	s := readDocument(t, document(`"age": 12`, "", `"conditions": {"pitch": "low"}`, `"conditions": {"pitch": "low", "base_path": 80}`, `"conditions": {"pitch": "high"}`))
	for _, c := range []struct {
		in                []bool
		pitch, base, ball bool
	}{
		{[]bool{true, true, true}, false, false, true}, {[]bool{true, true, false}, true, false, true},
		{[]bool{true, false, true}, false, true, true}, {[]bool{false, false, true}, true, true, true}, {[]bool{false, false, false}, false, false, false},
	} {
		k := s.CommonConditions(c.in)
		if k.Seen[rubric.Pitch] != c.pitch || k.Seen[rubric.BasePath] != c.base || k.Seen[rubric.Ball] != c.ball {
			t.Errorf("in reps %v: pitch %t, base path %t, ball %t seen", c.in, k.Seen[rubric.Pitch], k.Seen[rubric.BasePath], k.Seen[rubric.Ball])
		}
	}
	if _, ok := measure.ThrowDistance(&rubric.Conditions{}); ok {
		t.Error("a distance without conditions")
	}
}
