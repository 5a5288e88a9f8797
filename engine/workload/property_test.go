package workload_test

import (
	"encoding/json"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"rootcue/engine/civil"
	"rootcue/engine/workload"
)

// today is the day that the properties ask about.
var today = civil.Date{Year: 2026, Month: 5, Day: 10}

// drawEntry is any entry of the last days, or now and then of the last year.
func drawEntry(t *rapid.T) workload.Entry {
	back := rapid.OneOf(rapid.IntRange(0, 6), rapid.IntRange(0, 6), rapid.IntRange(0, 400)).Draw(t, "days back")
	e := workload.Entry{
		Date: today.AddDays(-back),
		Kind: workload.Kind(rapid.SampledFrom(workload.Kinds).Draw(t, "kind")),
		Pain: rapid.IntRange(0, 40).Draw(t, "pain") == 0,
		Note: "trainer",
	}
	if rapid.IntRange(0, 9).Draw(t, "known") > 0 {
		n := rapid.IntRange(0, 90).Draw(t, "count")
		if e.Kind == workload.InningsCaught || e.Kind == workload.InningsPitched {
			e.Count = workload.Of(float64(n) / 9)
		} else {
			e.Count = workload.Of(float64(n))
		}
		if e.Kind == workload.Pitches && rapid.Bool().Draw(t, "last batter") {
			e.AtLastBatter = workload.Of(float64(rapid.IntRange(0, n).Draw(t, "before")))
		}
	}
	return e
}

func drawLedger(t *rapid.T) workload.Ledger {
	return workload.Ledger{Entries: rapid.SliceOfN(rapid.Custom(drawEntry), 0, 8).Draw(t, "ledger")}
}

// bound is a policy with every rule at a level that forbids.
const bound = `
policy: bound
title: All rules, hard
source: {by: A league, edition: "1", read: 2026-01-10}
pitching:
  - {ages: [0, 99], most_a_day: 60, rest: [{to: 20, days: 0}, {to: 40, days: 1}, {to: 60, days: 3}], innings_in_12_months: 30, days_running: 2, months_off: {in_12: 2, running: 1}, last_batter: true}
catching:
  - {ages: [0, 99], none_that_day_after_pitches: 41, no_pitching_that_day_after_innings: 4, no_return_after: {innings_caught: 1, pitches: 21}, last_batter: true}
throwing:
  - {ages: [0, 99], most_a_day: 70}
`

func drawPolicies(t *rapid.T, all []*workload.Policy) []*workload.Policy {
	n := rapid.IntRange(1, len(all)).Draw(t, "policies")
	return rapid.Permutation(all).Draw(t, "order")[:n]
}

func everyPolicy(t *testing.T) []*workload.Policy {
	return append(policies(t, "pitch-smart", "little-league", "elementary-throws"), parse(t, bound))
}

func judge(l workload.Ledger, age int, p []*workload.Policy) workload.Answer {
	return workload.Judge(workload.Request{On: today, Age: age, Ledger: l}, p)
}

var strictness = map[string]int{workload.NoRule: 0, workload.Yes: 0, workload.Unknown: 1, workload.No: 2}

// looser says how v allows more than w does, "" if it does not.
func looser(v, w workload.Verdict) string {
	switch {
	case strictness[v.Answer] < strictness[w.Answer]:
		return "answer " + v.Answer + " for " + w.Answer
	case w.Left != nil && (v.Left == nil || *v.Left > *w.Left):
		return "more left"
	case v.NextDay != nil && w.NextDay == nil && w.Answer != workload.NoRule:
		return "a next day where there was none"
	case v.NextDay != nil && w.NextDay != nil && v.NextDay.Before(*w.NextDay):
		return "next day " + v.NextDay.String() + " before " + w.NextDay.String()
	}
	return ""
}

func each(a workload.Answer) []workload.Verdict {
	return []workload.Verdict{a.Pitching, a.Catching, a.Throwing}
}

func TestAddingAnEntryNeverAllowsMore(t *testing.T) {
	all := everyPolicy(t)
	rapid.Check(t, func(t *rapid.T) {
		p, age, l := drawPolicies(t, all), rapid.IntRange(6, 20).Draw(t, "age"), drawLedger(t)
		e := rapid.Custom(drawEntry).Filter(func(e workload.Entry) bool {
			return e.Kind != workload.Cleared && e.Kind != workload.TimeOff
		}).Draw(t, "more")
		before, after := judge(l, age, p), judge(workload.Ledger{Entries: append(slices.Clone(l.Entries), e)}, age, p)
		for i, v := range each(after) {
			if how := looser(v, each(before)[i]); how != "" {
				t.Fatalf("%s after %+v: %s", workload.Activities[i], e, how)
			}
		}
		if len(after.Cautions) == 0 || after.Cautions[len(after.Cautions)-1].Level != workload.Note {
			t.Fatal("the standing note is gone")
		}
	})
}

func TestStrictestIsNeverLooser(t *testing.T) {
	all := everyPolicy(t)
	rapid.Check(t, func(t *rapid.T) {
		p, age, l := drawPolicies(t, all), rapid.IntRange(6, 20).Draw(t, "age"), drawLedger(t)
		together := judge(l, age, p)
		for _, one := range p {
			alone := judge(l, age, []*workload.Policy{one})
			for i, v := range each(together) {
				if how := looser(v, each(alone)[i]); how != "" {
					t.Fatalf("%s with %s among others: %s", workload.Activities[i], one.Name, how)
				}
			}
		}
	})
}

func encoded(t *rapid.T, a workload.Answer) string {
	b, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestOrderDoesNotMatter(t *testing.T) {
	all := everyPolicy(t)
	rapid.Check(t, func(t *rapid.T) {
		p, age, l := drawPolicies(t, all), rapid.IntRange(6, 20).Draw(t, "age"), drawLedger(t)
		for i := range l.Entries {
			l.Entries[i].Line = i + 1
		}
		other := workload.Ledger{Entries: rapid.Permutation(l.Entries).Draw(t, "shuffled")}
		if diff := cmp.Diff(encoded(t, judge(l, age, p)), encoded(t, judge(other, age, p))); diff != "" {
			t.Fatal(diff)
		}
	})
}

// Splitting a count in two, the last batter staying with the second part,
// changes no answer and no sum.
func TestSplittingChangesNothing(t *testing.T) {
	all := everyPolicy(t)
	rapid.Check(t, func(t *rapid.T) {
		p, age, l := drawPolicies(t, all), rapid.IntRange(6, 20).Draw(t, "age"), drawLedger(t)
		e := rapid.Custom(drawEntry).Filter(func(e workload.Entry) bool {
			_, known := e.Count.Value()
			return known && e.Kind != workload.TimeOff
		}).Draw(t, "whole")
		n, _ := e.Count.Value()
		part := float64(rapid.IntRange(0, int(n)).Draw(t, "part"))
		if before, known := e.AtLastBatter.Value(); known {
			part = min(part, before)
			e.AtLastBatter = workload.Of(before - part)
		}
		first, second, whole := e, e, e
		first.Count, first.AtLastBatter = workload.Of(part), workload.Count{}
		second.Count = workload.Of(n - part)
		if before, known := e.AtLastBatter.Value(); known {
			whole.AtLastBatter = workload.Of(before + part)
		}
		one := judge(workload.Ledger{Entries: append(slices.Clone(l.Entries), whole)}, age, p)
		two := judge(workload.Ledger{Entries: append(slices.Clone(l.Entries), first, second)}, age, p)
		for i, v := range each(two) {
			w := each(one)[i]
			v.Entry, w.Entry = nil, nil // the line that decides is another
			if diff := cmp.Diff(w, v); diff != "" {
				t.Fatalf("%s: %s", workload.Activities[i], diff)
			}
		}
		if diff := cmp.Diff(one.Totals, two.Totals); diff != "" {
			t.Fatal(diff)
		}
		if diff := cmp.Diff(one.Calendar, two.Calendar); diff != "" {
			t.Fatal(diff)
		}
	})
}

// The next day is the first one on the calendar with a yes, whatever is asked.
func TestNextDayIsTheFirstYes(t *testing.T) {
	all := everyPolicy(t)
	rapid.Check(t, func(t *rapid.T) {
		a := judge(drawLedger(t), rapid.IntRange(6, 20).Draw(t, "age"), drawPolicies(t, all))
		for i, v := range each(a) {
			first := ""
			for _, d := range a.Calendar {
				if answer := []string{d.Pitching, d.Catching, d.Throwing}[i]; first == "" && answer == workload.Yes {
					first = d.Date.String()
				}
			}
			last := a.Calendar[len(a.Calendar)-1].Date
			if first != "" && (v.NextDay == nil || v.NextDay.String() != first) {
				t.Fatalf("%s: next day %v, first yes %s", workload.Activities[i], v.NextDay, first)
			}
			if first == "" && v.NextDay != nil && !v.NextDay.After(last) && a.Calendar[today.DaysTo(*v.NextDay)].Date != *v.NextDay {
				t.Fatalf("%s: next day %v is not on the calendar", workload.Activities[i], v.NextDay)
			}
		}
	})
}

// What "if he throws n today" says is what comes out when n is entered.
func TestIfPitchesComesTrue(t *testing.T) {
	all := everyPolicy(t)
	rapid.Check(t, func(t *rapid.T) {
		p, age, l := drawPolicies(t, all), rapid.IntRange(6, 20).Draw(t, "age"), drawLedger(t)
		for _, s := range judge(l, age, p).IfPitches {
			n := rapid.IntRange(s.From, s.To).Draw(t, "n")
			e := workload.Entry{Date: today, Kind: workload.Pitches, Count: workload.Of(float64(n))}
			more := workload.Ledger{Entries: append(slices.Clone(l.Entries), e)}
			next := workload.Judge(workload.Request{On: today.AddDays(1), Age: age, Ledger: more}, p).Pitching.NextDay
			if diff := cmp.Diff(s.NextPitched, next); diff != "" {
				t.Fatalf("%d more: %s", n, diff)
			}
			if got := judge(more, age, p).Catching.Answer; got != s.Catching {
				t.Fatalf("%d more: catching %s, foretold %s", n, got, s.Catching)
			}
		}
	})
}
