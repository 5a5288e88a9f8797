package workload_test

import (
	"strings"
	"testing"

	"rootcue/engine/workload"
)

// Every rule says in full what was found, whose rule it is, and when next.
func TestWhatEachRuleSays(t *testing.T) {
	const on = "2026-05-05"
	b := parse(t, bound)
	for _, c := range []struct {
		activity workload.Activity
		want     string
		lines    []string
	}{
		{"pitching", "60 pitches on 2026-05-05; All rules, hard (1) allows 60 a day. First day for pitching by what was recorded here: Saturday 2026-05-09.",
			[]string{on + " pitches 60"}},
		{"pitching", "21 pitches on 2026-05-04; All rules, hard (1) asks for 1 full day off after that. First day for pitching by what was recorded here: Wednesday 2026-05-06.",
			[]string{"2026-05-04 pitches 21"}},
		{"pitching", "An unknown number of pitches on 2026-05-04; All rules, hard (1) asks for 3 full days off after that. A count is missing, so this cannot be told; treat it as at the limit. First day for pitching by what was recorded here: Friday 2026-05-08.",
			[]string{"2026-05-04 pitches ?"}},
		{"pitching", "32 or more pitches on 2026-05-03; All rules, hard (1) asks for 3 full days off after that. A count is missing, so this cannot be told; treat it as at the limit. First day for pitching by what was recorded here: Thursday 2026-05-07.",
			[]string{"2026-05-03 pitches 31", "2026-05-03 pitches ?"}},
		{"pitching", "Pitched on each of the 2 days before 2026-05-05; All rules, hard (1) allows no more than that running. First day for pitching by what was recorded here: Wednesday 2026-05-06.",
			[]string{"2026-05-03 pitches 1", "2026-05-04 pitches 1"}},
		{"pitching", "30 1/3 innings pitched in the 12 months up to 2026-05-05; All rules, hard (1) sets 30. First day for pitching by what was recorded here: Tuesday 2026-09-01.",
			[]string{"2025-09-01 innings-pitched 1.1", "2026-01-01 innings-pitched 29"}},
		{"pitching", "59 days off recorded in the 12 months up to 2026-05-05, 40 of them running; All rules, hard (1) asks for 60, 30 of them running. The rule is met again only by time off.",
			[]string{"2025-05-05 long-toss 1", "2025-07-01 time-off 40", "2025-10-01 time-off 19"}},
		{"pitching", "4 1/3 innings caught on 2026-05-05; All rules, hard (1) allows no pitching on a day with catching in 4 or more. First day for pitching by what was recorded here: Wednesday 2026-05-06.",
			[]string{on + " innings-caught 4.1"}},
		{"catching", "41 pitches on 2026-05-05; All rules, hard (1) allows no catching on a day with 41 or more. First day for catching by what was recorded here: Wednesday 2026-05-06.",
			[]string{on + " pitches 41"}},
		{"catching", "Caught and pitched (21 pitches) on 2026-05-05; All rules, hard (1) allows no more catching on a day with catching in 1 inning or more and 21 or more pitches. First day for catching by what was recorded here: Wednesday 2026-05-06.",
			[]string{on + " innings-caught 1", on + " pitches 21"}},
		{"throwing", "71 throws on 2026-05-05; All rules, hard (1) allows 70 a day. First day for throwing by what was recorded here: Wednesday 2026-05-06.",
			[]string{on + " long-toss 71"}},
		{"throwing", "Pain was reported on 2026-05-04: no throwing, catching or pitching until a licensed clinician clears the player.",
			[]string{"2026-05-04 pain"}},
		{"throwing", "A blow to the head or chest was recorded on 2026-05-04: no throwing, catching or pitching until the player is cleared as local law and the league require.",
			[]string{"2026-05-04 head-or-chest-blow"}},
		{"throwing", "The player was tired on 2026-05-05: no more throwing, catching or pitching that day. First day for throwing by what was recorded here: Wednesday 2026-05-06.",
			[]string{on + " tired"}},
		{"throwing", "Throwing on 2026-05-05 is allowed by what was recorded here: 69 left by the most a day of All rules, hard (1).",
			[]string{on + " long-toss 1"}},
		{"catching", "No rule in force stands against catching on 2026-05-05.", nil},
	} {
		a := ask(t, []*workload.Policy{b}, 12, on, c.lines...)
		v := map[workload.Activity]workload.Verdict{"pitching": a.Pitching, "catching": a.Catching, "throwing": a.Throwing}[c.activity]
		if v.Says != c.want {
			t.Errorf("%v\n got %s\nwant %s", c.lines, v.Says, c.want)
		}
	}
	if got, want := ask(t, policies(t, "elementary-throws"), 9, on).Pitching.Says, "No rule in force speaks of pitching at this age."; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// After pain no caution offers a day on which to go on.
func TestPainGivesNoDay(t *testing.T) {
	a := ask(t, policies(t, "pitch-smart"), 12, "2026-05-05", "2026-05-04 pain", "2026-05-04 pitches 30")
	c := a.Cautions[0]
	if c.Code != "pain-reported" || c.Level != workload.Stop || strings.Contains(c.Says, "First day") ||
		!strings.Contains(c.Says, "tell the parent or guardian today") || !strings.Contains(c.Says, "licensed clinician") {
		t.Errorf("%+v", c)
	}
	if strings.Contains(a.Pitching.Says, "First day") {
		t.Errorf("%s", a.Pitching.Says)
	}
}

// A policy's examples run by age or by birth, and say what they lack.
func TestExamplesByBirth(t *testing.T) {
	const body = `policy: by-birth
title: By birth
source: {by: A league, edition: "1", read: 2026-01-10}
age_on: 04-30
pitching: [{ages: [11, 11], most_a_day: 40}, {ages: [12, 12], most_a_day: 50}]
examples:
  - {name: eleven, born: 2014-04, on: 2026-05-05, ledger: [], expect: {pitching: {answer: "yes", left: 40, rule: most_a_day}}}
  - {name: twelve, born: 2014-03, on: 2026-05-05, ledger: [{date: 2026-05-05, kind: pitches, count: 7, game: 1, pain: false}], expect: {pitching: {left: 43}}}
`
	if p, problems := workload.Parse("p.yaml", []byte(body)); p == nil || len(problems) > 0 {
		t.Fatalf("%+v", problems)
	}
	for _, c := range []struct{ old, new, code, found string }{
		{"age_on: 04-30\n", "", "no-cut-off", `the example "eleven" with born 2014-04`},
		{"born: 2014-04,", "born: 2014-13,", "wrong-form", "2014-13"},
		{"born: 2014-04,", "born: 2014-04, age: 12,", "age-conflict", `the example "eleven" with age 12 and born 2014-04`},
		{"left: 40", "left: 41", "example-differs", `left of pitching comes out as 40 in the example "eleven"`},
		{"rule: most_a_day", "rule: rest", "example-differs", `rule of pitching comes out as most_a_day`},
		{"pain: false", "pain: true", "example-differs", `left of pitching comes out as 0 in the example "twelve"`},
	} {
		p, problems := workload.Parse("p.yaml", []byte(strings.Replace(body, c.old, c.new, 1)))
		if p != nil || !said(problems, 0, 0, c.code, c.found, "") {
			t.Errorf("%s: %+v", c.new, problems)
		}
	}
}
