package workload_test

import (
	"fmt"
	"strings"
	"testing"

	"rootcue/engine/civil"
	"rootcue/engine/workload"
)

// A scene is a ledger, a day, and the answers in brief; an empty one is not
// looked at.
type scene struct {
	name                         string
	policies                     string
	age                          int
	on                           string
	lines                        []string
	pitching, catching, throwing string
}

func run(t *testing.T, scenes []scene) {
	t.Helper()
	for _, s := range scenes {
		a := ask(t, policies(t, strings.Split(s.policies, ",")...), s.age, s.on, s.lines...)
		for _, c := range []struct {
			what, want string
			v          workload.Verdict
		}{{"pitching", s.pitching, a.Pitching}, {"catching", s.catching, a.Catching}, {"throwing", s.throwing, a.Throwing}} {
			if got := brief(c.v); c.want != "" && got != c.want {
				t.Errorf("%s: %s %s, want %s (%s)", s.name, c.what, got, c.want, c.v.Says)
			}
		}
	}
}

// 2026-05-04 is a Monday. The three results are the worked examples of leagues'
// reprints of Regulation VI: 68 on Monday → Saturday, 35 → Wednesday, 50 →
// Thursday.
func TestWorkedExamples(t *testing.T) {
	for count, want := range map[string]string{"68": "Saturday", "35": "Wednesday", "50": "Thursday"} {
		for _, policy := range []string{"little-league", "pitch-smart", "little-league,pitch-smart"} {
			v := ask(t, policies(t, strings.Split(policy, ",")...), 12, "2026-05-05", "2026-05-04 pitches "+count).Pitching
			if v.Answer != "no" || v.NextDay == nil || v.NextDay.Weekday() != want {
				t.Errorf("%s: %s on Monday: %s, next %v; want %s", policy, count, v.Answer, v.NextDay, want)
			}
		}
	}
}

// Little League Regulation VI, notes on catchers.
func TestCatcherAndPitcher(t *testing.T) {
	const on, tomorrow = "2026-05-04", "2026-05-05"
	ll := func(name string, age int, pitching, catching string, lines ...string) scene {
		return scene{name, "little-league", age, on, lines, pitching, catching, "no-rule"}
	}
	run(t, []scene{
		ll("40 pitches leave catching open", 12, "yes 45", "yes", on+" pitches 40"),
		ll("41 close it", 12, "yes 44", "no "+tomorrow+" none_that_day_after_pitches", on+" pitches 41"),
		ll("41 over two games", 12, "yes 44", "no "+tomorrow+" none_that_day_after_pitches", on+" pitches 30 game=1", on+" pitches 11 game=2"),
		ll("41, of them 40 before the last batter: his first pitch is the 41st", 12, "yes 42", "no "+tomorrow+" none_that_day_after_pitches", on+" pitches 43 count_at_last_batter=40"),
		ll("43, of them 39 before the last batter", 12, "yes 42", "yes", on+" pitches 43 count_at_last_batter=39"),
		ll("three innings caught leave pitching open", 12, "yes 85", "yes", on+" innings-caught 3"),
		ll("a third of the fourth inning closes it", 12, "no "+tomorrow+" no_pitching_that_day_after_innings", "yes", on+" innings-caught 3.1"),
		ll("four innings close it", 12, "no "+tomorrow+" no_pitching_that_day_after_innings", "yes", on+" innings-caught 4"),
		ll("four innings over two teams", 12, "no "+tomorrow+" no_pitching_that_day_after_innings", "yes", on+" innings-caught 2 where=red", on+" innings-caught 2 where=blue"),
		ll("caught 3, pitched 20", 12, "yes 65", "yes", on+" innings-caught 3", on+" pitches 20"),
		ll("caught 3, pitched 21", 12, "yes 64", "no "+tomorrow+" no_return_after", on+" innings-caught 3", on+" pitches 21"),
		ll("caught a third, pitched 21", 12, "yes 64", "no "+tomorrow+" no_return_after", on+" innings-caught 1/3", on+" pitches 21"),
		ll("not caught, pitched 21", 12, "yes 64", "yes", on+" pitches 21"),
		ll("caught no inning, pitched 21", 12, "yes 64", "yes", on+" innings-caught 0", on+" pitches 21"),
		ll("age 15: caught 1, pitched 30", 15, "yes 65", "yes", on+" innings-caught 1", on+" pitches 30"),
		ll("age 15: caught 1, pitched 31", 15, "yes 64", "no "+tomorrow+" no_return_after", on+" innings-caught 1", on+" pitches 31"),
		ll("age 16 likewise", 16, "yes 65", "yes", on+" innings-caught 1", on+" pitches 30"),
		ll("age 17: 21 again", 17, "yes 84", "no "+tomorrow+" no_return_after", on+" innings-caught 1", on+" pitches 21"),
		ll("caught 4 and pitched 41: neither", 12, "no 2026-05-07 no_pitching_that_day_after_innings", "no "+tomorrow+" none_that_day_after_pitches", on+" innings-caught 4", on+" pitches 41"),
		ll("yesterday's catching does not matter", 12, "yes 85", "yes", "2026-05-03 innings-caught 6"),
		ll("a missing count of innings caught", 12, "unknown "+tomorrow+" no_pitching_that_day_after_innings", "yes", on+" innings-caught ?"),
		ll("caught unknown, pitched 21: caught a part at least", 12, "unknown 2026-05-06 no_pitching_that_day_after_innings", "no "+tomorrow+" no_return_after", on+" innings-caught ?", on+" pitches 21"),
		ll("pitched unknown", 12, "unknown 2026-05-09 most_a_day", "unknown "+tomorrow+" none_that_day_after_pitches", on+" pitches ?"),
	})
}

// "The first pitch to a batter fixes the tier" (Regulation VI, exceptions). The
// column holds the pitches thrown before him, so his first pitch is one more.
// Only Little League has the rule.
func TestLastBatter(t *testing.T) {
	const on = "2026-05-05"
	run(t, []scene{
		{"a reprint's example: came up at 45, ended at 51: two days", "little-league", 12, on, []string{"2026-05-04 pitches 51 count_at_last_batter=45"}, "no 2026-05-07 rest", "", ""},
		{"came up at 34, his first pitch the 35th: one day", "little-league", 12, on, []string{"2026-05-04 pitches 38 count_at_last_batter=34"}, "no 2026-05-06 rest", "", ""},
		{"came up at 35, his first pitch the 36th: two days", "little-league", 12, on, []string{"2026-05-04 pitches 38 count_at_last_batter=35"}, "no 2026-05-07 rest", "", ""},
		{"19 and then 24: no rest", "little-league", 12, on, []string{"2026-05-04 pitches 24 count_at_last_batter=19"}, "yes 85", "", ""},
		{"without the column all count", "little-league", 12, on, []string{"2026-05-04 pitches 24"}, "no 2026-05-06 rest", "", ""},
		{"Pitch Smart counts all", "pitch-smart", 12, on, []string{"2026-05-04 pitches 24 count_at_last_batter=19"}, "no 2026-05-06 rest", "", ""},
		{"the strictest of both", "little-league,pitch-smart", 12, on, []string{"2026-05-04 pitches 24 count_at_last_batter=19"}, "no 2026-05-06 rest", "", ""},
		{"only one batter is the day's last", "little-league", 12, on, []string{"2026-05-04 pitches 12 game=1 count_at_last_batter=8", "2026-05-04 pitches 12 game=2 count_at_last_batter=8"}, "no 2026-05-06 rest", "", ""},
		{"the daily limit counts all", "little-league", 12, "2026-05-04", []string{"2026-05-04 pitches 85 count_at_last_batter=64"}, "no 2026-05-08 most_a_day", "", ""},
	})
}

func TestDaysRunning(t *testing.T) {
	for _, policy := range []string{"pitch-smart", "little-league"} {
		run(t, []scene{
			{"two days running: no third", policy, 12, "2026-05-06", []string{"2026-05-04 pitches 5", "2026-05-05 pitches 5"}, "no 2026-05-07 days_running", "", ""},
			{"the second day is allowed", policy, 12, "2026-05-05", []string{"2026-05-04 pitches 5"}, "yes 85", "", ""},
			{"and may go on", policy, 12, "2026-05-05", []string{"2026-05-04 pitches 5", "2026-05-05 pitches 5"}, "yes 80", "", ""},
			{"a day between breaks the run", policy, 12, "2026-05-07", []string{"2026-05-04 pitches 5", "2026-05-06 pitches 5"}, "yes 85", "", ""},
			{"no pitch is no pitching", policy, 12, "2026-05-06", []string{"2026-05-04 pitches 5", "2026-05-05 pitches 0"}, "yes 85", "", ""},
			{"a bullpen is no game", policy, 12, "2026-05-06", []string{"2026-05-04 pitches 5", "2026-05-05 bullpen 30"}, "yes 85", "", ""},
			{"innings show it too", policy, 12, "2026-05-06", []string{"2026-05-04 innings-pitched 1", "2026-05-05 innings-pitched 1/3"}, "no 2026-05-07 days_running", "", ""},
			{"a missing count was a pitch at least", policy, 12, "2026-05-06", []string{"2026-05-04 pitches 5", "2026-05-05 pitches ?"}, "no 2026-05-10 days_running", "", ""},
			{"over the turn of the month", policy, 12, "2026-03-01", []string{"2026-02-27 pitches 5", "2026-02-28 pitches 5"}, "no 2026-03-02 days_running", "", ""},
			{"over a leap day", policy, 12, "2028-03-01", []string{"2028-02-28 pitches 5", "2028-02-29 pitches 5"}, "no 2028-03-02 days_running", "", ""},
			{"the 28th and the 1st of a leap year are not running", policy, 12, "2028-03-02", []string{"2028-02-28 pitches 5", "2028-03-01 pitches 5"}, "yes 85", "", ""},
		})
	}
}

// Pitch Smart: innings in 12 months 60 to age 8, 80 at 9 to 12, 100 at 13 to 18.
func TestInningsInTwelveMonths(t *testing.T) {
	for age := 7; age <= 18; age++ {
		limit := 60
		if age >= 9 {
			limit = 80
		}
		if age >= 13 {
			limit = 100
		}
		before := fmt.Sprintf("2025-06-01 innings-pitched %d", limit-1)
		for more, want := range map[string]string{"0.2": "yes", "1": "no", "1.1": "no"} {
			v := ask(t, policies(t, "pitch-smart"), age, "2026-05-10", before, "2025-07-01 innings-pitched "+more).Pitching
			if v.Answer != want || want == "no" && brief(v) != "no 2026-06-01 innings_in_12_months" {
				t.Errorf("age %d, %d and %s innings: %s", age, limit-1, more, brief(v))
			}
		}
	}
	run(t, []scene{
		{"no limit at 19", "pitch-smart", 19, "2026-05-10", []string{"2025-06-01 innings-pitched 99", "2025-07-01 innings-pitched 99"}, "yes 120", "", ""},
		{"a year to the day is over", "pitch-smart", 8, "2026-05-10", []string{"2025-05-10 innings-pitched 60"}, "yes 50", "", ""},
		{"a day less is not", "pitch-smart", 8, "2026-05-10", []string{"2025-05-11 innings-pitched 60"}, "no 2026-05-11 innings_in_12_months", "", ""},
		{"leap day: gone on 1 March", "pitch-smart", 8, "2025-02-28", []string{"2024-02-29 innings-pitched 60"}, "no 2025-03-01 innings_in_12_months", "", ""},
		{"thirds add up exactly", "pitch-smart", 8, "2026-05-10", []string{"2026-01-01 innings-pitched 59.1", "2026-01-08 innings-pitched 0.2"}, "no 2027-01-01 innings_in_12_months", "", ""},
		{"only as many leave as must", "pitch-smart", 8, "2026-05-10", []string{"2025-09-01 innings-pitched 10", "2025-10-01 innings-pitched 30", "2026-04-01 innings-pitched 35"}, "no 2026-10-01 innings_in_12_months", "", ""},
		{"a missing count cannot be told", "pitch-smart", 8, "2026-05-10", []string{"2026-04-01 innings-pitched ?"}, "unknown 2027-04-01 innings_in_12_months", "", ""},
	})
}

func TestInningsNotRecordedAreNotJudged(t *testing.T) {
	a := ask(t, policies(t, "pitch-smart"), 12, "2026-05-10", "2026-05-01 pitches 20")
	if brief(a.Pitching) != "yes 85" || !hasNote(a, "not-judged", "innings in 12 months") {
		t.Errorf("%s; notes %v", brief(a.Pitching), a.Notes)
	}
	a = ask(t, policies(t, "pitch-smart"), 12, "2026-05-10", "2026-05-01 innings-pitched 2")
	if hasNote(a, "not-judged", "innings in 12 months") {
		t.Errorf("innings are recorded, notes %v", a.Notes)
	}
}

// Even a limit of no innings is not judged by what nobody recorded.
func TestNoInningsAtAll(t *testing.T) {
	p := []*workload.Policy{parse(t, strings.Replace(restful, "months_off: {in_12: 4, running: 2}", "innings_in_12_months: 0", 1))}
	if a := ask(t, p, 12, "2026-05-10"); brief(a.Pitching) != "yes" || !hasNote(a, "not-judged", "innings") {
		t.Errorf("%s, %v", brief(a.Pitching), a.Notes)
	}
	if a := ask(t, p, 12, "2026-05-10", "2026-05-01 innings-pitched 1"); brief(a.Pitching) != "no never innings_in_12_months" {
		t.Errorf("%s", brief(a.Pitching))
	}
}

func hasNote(a workload.Answer, code, part string) bool {
	for _, n := range a.Notes {
		if n.Code == code && strings.Contains(n.Says, part) {
			return true
		}
	}
	return false
}

const restful = `
policy: restful
title: Months off, hard
source: {by: A league, edition: "1", read: 2026-01-10}
pitching:
  - {ages: [7, 18], months_off: {in_12: 4, running: 2}}
`

// Four months off in twelve, two together; a month is 30 days.
func TestMonthsOff(t *testing.T) {
	p := []*workload.Policy{parse(t, restful)}
	const on = "2026-05-10"
	old := "2025-05-10 practice-throws 10" // a year of record
	for _, c := range []struct {
		name, want string
		lines      []string
	}{
		{"enough", "yes", []string{old, "2025-11-01 time-off 60", "2026-01-15 time-off 60"}},
		{"a day short", "no never months_off", []string{old, "2025-11-01 time-off 60", "2026-01-15 time-off 59"}},
		{"no run of two months", "no never months_off", []string{old, "2025-07-01 time-off 50", "2025-10-01 time-off 50", "2026-01-01 time-off 50"}},
		{"a throw in the middle is a day of throwing", "no never months_off", []string{old, "2025-11-01 time-off 60", "2026-01-15 time-off 60", "2025-12-01 base-throws 1"}},
		{"innings pitched too", "no never months_off", []string{old, "2025-11-01 time-off 60", "2026-01-15 time-off 60", "2025-12-01 innings-pitched 1"}},
		{"none recorded: not judged", "yes", []string{old}},
		{"less than a year recorded: not judged", "yes", []string{"2025-05-11 practice-throws 10", "2025-11-01 time-off 10"}},
		{"without a count it is that day", "no never months_off", []string{old, "2025-11-01 time-off ?"}},
		{"two entries that overlap count once", "no never months_off", []string{old, "2025-11-01 time-off 60", "2025-11-01 time-off 60"}},
	} {
		if got := brief(ask(t, p, 12, on, c.lines...).Pitching); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
	a := ask(t, policies(t, "pitch-smart"), 12, on, old, "2025-11-01 time-off 10")
	if a.Pitching.Answer != "yes" || level(a.Cautions, "workload-months-off") != "note" {
		t.Errorf("Pitch Smart's months off are a note: %s, %v", brief(a.Pitching), a.Cautions)
	}
	a = ask(t, policies(t, "pitch-smart"), 12, on, old)
	if !hasNote(a, "not-judged", "months off") {
		t.Errorf("notes %v", a.Notes)
	}
}

func level(cautions []workload.Caution, code string) workload.Level {
	for _, c := range cautions {
		if c.Code == code {
			return c.Level
		}
	}
	return ""
}

func TestAgeFromBirth(t *testing.T) {
	p := policies(t, "pitch-smart") // cut-off 30 April
	for _, c := range []struct {
		born, on string
		age      int
		want     string
	}{
		{"2015-03", "2026-05-10", 11, "yes 85"},
		{"2015-04", "2026-05-10", 10, "yes 75"}, // born in the cut-off's month: not yet
		{"2015-05", "2026-08-31", 10, "yes 75"},
		{"2015-05", "2026-09-01", 11, "yes 85"}, // the season turns
	} {
		born, err := civil.ParseBirth(c.born)
		if err != nil {
			t.Fatal(err)
		}
		a := workload.Judge(workload.Request{Age: -1, Born: born, On: date(t, c.on)}, p)
		if brief(a.Pitching) != c.want || a.Policies[0].Age != c.age {
			t.Errorf("born %s on %s: age %d, %s; want %d, %s", c.born, c.on, a.Policies[0].Age, brief(a.Pitching), c.age, c.want)
		}
	}
	// The calendar crosses the turn with the age.
	born := civil.Birth{Year: 2015, Month: 5}
	a := workload.Judge(workload.Request{Age: -1, Born: born, On: date(t, "2026-08-30")}, p)
	if *a.Calendar[1].Left != 75 || *a.Calendar[2].Left != 85 {
		t.Errorf("31 August %d, 1 September %d", *a.Calendar[1].Left, *a.Calendar[2].Left)
	}
}

func TestRequestProblems(t *testing.T) {
	on, p := date(t, "2026-05-10"), policies(t, "pitch-smart")
	born := civil.Birth{Year: 2015, Month: 3}
	for _, c := range []struct {
		q    workload.Request
		p    []*workload.Policy
		want string
	}{
		{workload.Request{On: on, Age: 11}, p, ""},
		{workload.Request{On: on, Age: 11, Born: born}, p, ""},
		{workload.Request{Age: 11}, p, "missing-key /on"},
		{workload.Request{On: on, Age: 11}, nil, "missing-key /policy"},
		{workload.Request{On: on, Age: -1}, p, "missing-key /age"},
		{workload.Request{On: on, Age: 12, Born: born}, p, "age-conflict /age"},
		{workload.Request{On: on, Age: -1, Born: civil.Birth{Year: 2030, Month: 1}}, p, "out-of-range /born"},
		{workload.Request{On: on, Age: -1, Born: born}, []*workload.Policy{parse(t, restful)}, "no-cut-off /born"},
	} {
		got := ""
		if bad := c.q.Problems(c.p); len(bad) > 0 {
			got = bad[0].Code + " " + bad[0].Pointer
		}
		if got != c.want {
			t.Errorf("%+v: %q, want %q", c.q, got, c.want)
		}
	}
}
