package engine_test

import (
	"fmt"
	"testing"

	"rootcue/engine/verdict"
)

// TestOnlyIf: a fault is judged in the reps that its condition surely lets in;
// without one it does not apply, or was not seen if some rep could not be told.
func TestOnlyIf(t *testing.T) {
	r := parseText(t, `
rubric: only
title: Only
bands: {all: {ages: [8, 18]}}
measures: {wait: {title: Wait, unit: s, u: 0.01}}
faults: {late: {title: Late, measure: wait, at_most: 0.5, only_if: stance == "two-feet"}}
`)
	const yes, no, unsaid, held = `"conditions": {"stance": "two-feet"}, `, `"conditions": {"stance": "knee-down"}, `, ``, `"held": ["late"], "conditions": {"stance": "two-feet"}, `
	for _, c := range []struct {
		name   string
		reps   []string
		want   verdict.Verdict
		inReps string
	}{
		{"all in", []string{yes, yes}, "fault", "2/2"}, {"all out", []string{no, no}, "not-applicable", ""}, {"none told", []string{unsaid, unsaid}, "not-seen", ""},
		{"some in", []string{no, yes, unsaid}, "fault", "1/1"}, {"in, then not told", []string{yes, unsaid}, "fault", "1/1"}, {"in, then out", []string{yes, no}, "fault", "1/1"},
		{"out, then not told", []string{no, unsaid}, "not-seen", ""}, {"not told, then out", []string{unsaid, no}, "not-seen", ""}, {"not told, then in", []string{unsaid, yes}, "fault", "1/1"},
		{"in only where held", []string{held, no}, "not-applicable", ""}, {"all held", []string{held}, "not-seen", ""}, {"no reps", nil, "not-seen", ""},
	} {
		var reps []string
		for i, conditions := range c.reps {
			reps = append(reps, fmt.Sprintf(`"clip": "c%d", %s"measures": {"wait": 0.9}`, i, conditions))
		}
		f := assessText(t, r, fewDocument(`"age": 12`, reps...)).Findings[0]
		got := ""
		if f.InReps != nil {
			got = *f.InReps
		}
		if f.Verdict != c.want || got != c.inReps {
			t.Errorf("%s: %s in %q, wanted %s in %q", c.name, f.Verdict, got, c.want, c.inReps)
		}
		if in := c.inReps != ""; (len(f.Why.Reads) > 0) != in || (len(f.Why.Clips) > 0) != in {
			t.Errorf("%s: read %v from %v", c.name, f.Why.Reads, f.Why.Clips)
		}
	}
}
