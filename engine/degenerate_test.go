package engine_test

import (
	"fmt"
	"strings"
	"testing"

	"rootcue/engine"
	"rootcue/engine/verdict"
)

// few is a rubric whose costs and conditions can leave the finite numbers.
const few = `
rubric: few
title: Few
bands: {"8-18": {ages: [7, 18]}}
conditions: {pitch: strike}
reference: {exchange_time: {"8-18": 1, u: 0.05}}
constants: {none: {value: 0, unit: s}}
measures:
  exchange_time: {title: Exchange, unit: s, u: 0.02}
  wait: {title: Wait, unit: s}
  way: {title: Way, unit: m, u: 0.02}
  height: {title: Height, unit: stature, u: 0.02}
  open: {title: Open, kind: yes-no}
  neat: {title: Neat, kind: yes-no}
faults:
  late: {title: Late, measure: wait, at_most: 0.5, costs: exchange_time / wait, leads_to: {messy: {strength: 1, because: it does}}}
  far: {title: Far, when: way / wait > 2, costs: (way - 1) / 2}
  tall: {title: Tall, measure: height, at_most: 0.4, costs: (height - limit) * stature}
  shut: {title: Shut, measure: open, must_be: true, background: 0, arm_load: true, source: common practice, leads_to: {messy: {strength: 1, because: it does}}}
  odd: {title: Odd, measure: open, must_be: true, only_if: 1 / none > 0 && pitch == "low"}
outcomes:
  messy: {title: Messy, measure: neat, must_be: true, background: 0}
`

func fewDocument(player string, reps ...string) string {
	for i := range reps {
		reps[i] = fmt.Sprintf(`{"rep": %d, %s}`, i+1, reps[i])
	}
	return `{"player": {"ref": "P", ` + player + `}, "on": "2026-05-09", "reps": [` + strings.Join(reps, ", ") + `]}`
}

func measures(inside string) string { return `"measures": {` + inside + `}` }

func verdictOf(a *engine.Assessment, fault string) verdict.Verdict {
	for _, f := range a.Findings {
		if f.Fault == fault {
			return f.Verdict
		}
	}
	return "no such fault"
}

// TestDegenerate: documents with next to nothing in them are answered.
func TestDegenerate(t *testing.T) {
	r := parseText(t, few)
	const twelve = `"age": 12, "stature_cm": 150`
	for _, c := range []struct {
		name, player string
		reps         []string
		verdicts     map[string]verdict.Verdict
		clock        bool
		notes        string
		not          string
	}{
		{"no reps", twelve, nil, map[string]verdict.Verdict{"late": "not-seen", "far": "not-seen", "shut": "not-seen", "odd": "not-seen", "messy": "not-seen"}, false, "no-clock few-reps", "no-stature"},
		{"a rep with nothing seen", twelve, []string{measures(``)}, map[string]verdict.Verdict{"late": "not-seen", "odd": "not-applicable"}, false, "no-clock few-reps", ""},
		{"one measure", twelve, []string{measures(`"wait": 0.9`)}, map[string]verdict.Verdict{"late": "fault", "far": "not-seen"}, false, "no-clock few-reps cost-input-not-seen", ""},
		{"only the exchange", twelve, []string{measures(`"exchange_time": 1.4`)}, map[string]verdict.Verdict{"late": "not-seen"}, true, "clock-does-not-fit few-reps", "no-clock"},
		{"a loss no fault explains", twelve, []string{measures(`"exchange_time": 1.6, "height": 0.3`)}, map[string]verdict.Verdict{"tall": "sound"}, true, "clock-does-not-fit", ""},
		{"faster than the faults", twelve, []string{measures(`"exchange_time": 0.7, "height": 0.9`)}, map[string]verdict.Verdict{"tall": "fault"}, true, "faster-than-faults", ""},
		{"all reps held", twelve, []string{`"held": ["late"], ` + measures(`"exchange_time": 1.4, "open": false`)}, map[string]verdict.Verdict{"late": "not-seen", "shut": "not-seen"}, false, "no-clock few-reps", ""},
		{"no stature at 12", `"age": 12`, []string{measures(`"height": 0.6`)}, map[string]verdict.Verdict{"tall": "fault"}, false, "stature-from-table", "cost-input-not-seen"},
		{"no stature at 7", `"age": 7`, []string{measures(`"height": 0.6`)}, map[string]verdict.Verdict{"tall": "fault"}, false, "cost-input-not-seen", "stature-from-table"},
		{"an effect with its causes surely absent", twelve, []string{measures(`"neat": false, "open": true, "wait": 0.1`), measures(`"neat": false, "open": true, "wait": 0.1`), measures(`"neat": false, "open": true, "wait": 0.1`)}, map[string]verdict.Verdict{"messy": "fault", "shut": "sound", "late": "sound"}, false, "no-clock", ""},
	} {
		a := assessText(t, r, fewDocument(c.player, c.reps...))
		jsonOf(t, a)
		for fault, want := range c.verdicts {
			if got := verdictOf(a, fault); got != want {
				t.Errorf("%s: %s is %s, wanted %s", c.name, fault, got, want)
			}
		}
		if a.Clock.Seen != c.clock {
			t.Errorf("%s: clock seen %t", c.name, a.Clock.Seen)
		}
		for _, code := range strings.Fields(c.notes) {
			if !hasNote(a, code) {
				t.Errorf("%s: no note %s in %v", c.name, code, a.Notes)
			}
		}
		if c.not != "" && hasNote(a, c.not) {
			t.Errorf("%s: note %s", c.name, c.not)
		}
		if len(a.Cautions) == 0 {
			t.Errorf("%s: no caution", c.name)
		}
	}
}

// TestNoNumber: arithmetic that leaves the finite numbers is a problem that
// names the rule, where it was met, and what it read; it is never an answer.
func TestNoNumber(t *testing.T) {
	r := parseText(t, few)
	for _, c := range []struct {
		name    string
		reps    []string
		pointer string
		says    []string
	}{
		{"a cost", []string{measures(`"wait": 0, "exchange_time": 1`)}, "", []string{"the cost of late", "exchange_time / wait", "exchange_time = 1", "wait = 0"}},
		{"a condition on the means", []string{measures(`"wait": 0, "way": {"value": 1, "u": 0}`)}, "", []string{"the condition of far", "way / wait > 2", "way = 1", "wait = 0"}},
		{"a condition in one rep", []string{measures(`"wait": 0, "way": 1`), measures(`"wait": 2, "way": 1`)}, "/reps/0", []string{"the condition of far", "wait = 0"}},
		{"only_if", []string{`"conditions": {"pitch": "low"}, ` + measures(`"open": true`)}, "/reps/0", []string{"only_if of odd", "none = 0"}},
	} {
		a, problems := tryAssess(t, r, fewDocument(`"age": 12`, c.reps...))
		if a != nil || len(problems) == 0 || problems[0].Code != "not-finite" || problems[0].Pointer != c.pointer || problems[0].Hint == "" {
			t.Errorf("%s: %+v", c.name, problems)
			continue
		}
		for _, part := range c.says {
			if !strings.Contains(problems[0].Found, part) {
				t.Errorf("%s: %q is not in %q", c.name, part, problems[0].Found)
			}
		}
	}
}

// TestNoNumberInAHeldRep: conditions are read in held reps too, and told there.
func TestNoNumberInAHeldRep(t *testing.T) {
	src := few + "either_way:\n  - {between: [tall, far], weight: 0.5, strength: 0.5}\n"
	r := parseText(t, src)
	_, problems := tryAssess(t, r, fewDocument(`"age": 12`, measures(`"open": true`), `"held": ["tall"], `+measures(`"way": 1, "wait": 0`)))
	if len(problems) != 1 || problems[0].Code != "not-finite" || problems[0].Pointer != "/reps/1" {
		t.Errorf("%+v", problems)
	}
}

// TestManyProblemsAreCapped: no answer is longer than anyone reads.
func TestManyProblemsAreCapped(t *testing.T) {
	var reps []string
	for range 200 {
		reps = append(reps, measures(`"no_such": 1`))
	}
	_, problems := tryAssess(t, parseText(t, few), fewDocument(`"age": 12`, reps...))
	if len(problems) != 51 || problems[50].Code != "more" {
		t.Errorf("%d problems", len(problems))
	}
}
