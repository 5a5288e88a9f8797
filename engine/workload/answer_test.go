package workload_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/engine/workload"
)

func TestMissingCounts(t *testing.T) {
	run(t, []scene{
		{"yesterday's count is missing", "pitch-smart", 12, "2026-05-05", []string{"2026-05-04 pitches ?"}, "unknown 2026-05-09 rest", "yes", ""},
		{"today's count is missing", "pitch-smart", 12, "2026-05-04", []string{"2026-05-04 pitches ?"}, "unknown 2026-05-09 most_a_day", "yes", ""},
		{"rest is over whatever it was", "pitch-smart", 12, "2026-05-09", []string{"2026-05-04 pitches ?"}, "yes 85", "yes", ""},
		{"the known part forbids by itself", "pitch-smart", 12, "2026-05-05", []string{"2026-05-04 pitches 66", "2026-05-04 pitches ?"}, "no 2026-05-09 rest", "yes", ""},
		{"the known part forbids for a day, the rest is open", "pitch-smart", 12, "2026-05-06", []string{"2026-05-04 pitches 30", "2026-05-04 pitches ?"}, "unknown 2026-05-09 rest", "yes", ""},
		{"a missing bullpen does not matter to pitching", "pitch-smart", 12, "2026-05-05", []string{"2026-05-04 bullpen ?"}, "yes 85", "yes", ""},
		{"advice is said, not unknown", "elementary-throws", 9, "2026-05-04", []string{"2026-05-04 bullpen ?"}, "no-rule", "no-rule", "yes 0"},
	})
	v := ask(t, policies(t, "pitch-smart"), 12, "2026-05-05", "2026-05-04 pitches ?").Pitching
	if !strings.Contains(v.Says, "cannot be told; treat it as at the limit") || *v.Left != 0 || v.Entry.Count != nil {
		t.Errorf("%+v", v)
	}
}

func TestThrowsOfEveryKindAddUp(t *testing.T) {
	run(t, []scene{
		{"each kind", "elementary-throws", 9, "2026-05-04", []string{"2026-05-04 pitches 1", "2026-05-04 bullpen 2", "2026-05-04 practice-throws 4", "2026-05-04 base-throws 8", "2026-05-04 long-toss 16"}, "no-rule", "no-rule", "yes 19"},
		{"49", "elementary-throws", 9, "2026-05-04", []string{"2026-05-04 practice-throws 49"}, "", "", "yes 1"},
		{"50", "elementary-throws", 9, "2026-05-04", []string{"2026-05-04 practice-throws 50"}, "", "", "yes 0"},
		{"innings are no throws", "elementary-throws", 9, "2026-05-04", []string{"2026-05-04 innings-caught 5"}, "", "", "yes 50"},
		{"yesterday's do not count", "elementary-throws", 9, "2026-05-04", []string{"2026-05-03 practice-throws 50"}, "", "", "yes 50"},
	})
}

// Advice is worded as advice, a limit as a limit.
func TestAdviceIsWordedAsAdvice(t *testing.T) {
	a := ask(t, policies(t, "pitch-smart", "elementary-throws", "little-league"), 9, "2026-05-04", "2026-05-04 pitches 45", "2026-05-04 practice-throws 10")
	var text strings.Builder
	for _, c := range a.Cautions {
		text.WriteString(string(c.Level) + ": " + c.Says + "\n")
	}
	for _, want := range []string{
		"watch: 55 throws on 2026-05-04; Advice on throws at elementary age (2017) advises at most 50 a day.",
		"watch: 45 pitches on 2026-05-04; Pitch Smart (as amended 2018) advises no catching on a day with 1 or more.",
		"stop: 45 pitches on 2026-05-04; Little League Baseball, Regulation VI (2010 to 2019 reprints) allows no catching on a day with 41 or more.",
	} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("no %q in\n%s", want, text.String())
		}
	}
	if want := "It is advice: no rule in force forbids more."; !strings.Contains(a.Throwing.Says, want) {
		t.Errorf("%s", a.Throwing.Says)
	}
}

func TestStrictestPolicyIsNamed(t *testing.T) {
	a := ask(t, policies(t, "pitch-smart", "little-league", "elementary-throws"), 17, "2026-05-05", "2026-05-04 pitches 78")
	// Pitch Smart: 61–80, three days; Little League: 76+, four.
	if brief(a.Pitching) != "no 2026-05-09 rest" || a.Pitching.Policy != "little-league" {
		t.Errorf("%s by %s", brief(a.Pitching), a.Pitching.Policy)
	}
	var each []string
	for _, p := range a.Policies {
		each = append(each, p.Policy+": "+brief(p.Pitching)+", "+brief(p.Catching)+", "+brief(p.Throwing))
	}
	want := []string{"pitch-smart: no 2026-05-08 rest, yes, no-rule", "little-league: no 2026-05-09 rest, yes, no-rule", "elementary-throws: no-rule, no-rule, no-rule"}
	if diff := cmp.Diff(want, each); diff != "" {
		t.Error(diff)
	}
}

// Entries after the day asked about are left out, and the largest entry of the
// day that decides is the one named.
func TestWhichEntriesDecide(t *testing.T) {
	l := ledger(t, "2026-05-08", "2026-05-04 pitches 20", "2026-05-04 pitches 30", "2026-05-04 pitches 10", "2026-05-08 pitches 70", "2026-05-08 pain")
	a := workload.Judge(workload.Request{On: date(t, "2026-05-05"), Age: 12, Ledger: l}, policies(t, "little-league"))
	if brief(a.Pitching) != "no 2026-05-08 rest" || a.Pitching.Entry.Line != 3 || a.AsRecordedTo.String() != "2026-05-04" || a.Totals.Season.Pitches != 60 {
		t.Errorf("%s, entry %+v, to %v, %+v", brief(a.Pitching), a.Pitching.Entry, a.AsRecordedTo, a.Totals.Season)
	}
}

func TestCalendar(t *testing.T) {
	a := ask(t, policies(t, "little-league"), 12, "2026-05-04", "2026-05-04 pitches 50")
	var got []string
	for _, d := range a.Calendar[:4] {
		got = append(got, d.Weekday+" "+d.Date.String()+" "+d.Pitching+" "+d.Catching)
	}
	want := []string{"Monday 2026-05-04 yes no", "Tuesday 2026-05-05 no yes", "Wednesday 2026-05-06 no yes", "Thursday 2026-05-07 yes yes"}
	if diff := cmp.Diff(want, got); diff != "" || len(a.Calendar) != 14 {
		t.Errorf("%d days; %s", len(a.Calendar), diff)
	}
	if *a.Calendar[0].Left != 35 || *a.Calendar[1].Left != 0 || *a.Calendar[3].Left != 85 {
		t.Errorf("left %d, %d, %d", *a.Calendar[0].Left, *a.Calendar[1].Left, *a.Calendar[3].Left)
	}
}

func TestIfPitches(t *testing.T) {
	steps := func(a workload.Answer) (got []string) {
		for _, s := range a.IfPitches {
			got = append(got, strings.Join([]string{text(s.From), text(s.To), s.NextPitched.String(), s.Catching}, " "))
		}
		return got
	}
	// Little League, 12: tiers end at 20, 35, 50, 65; 41 closes catching; 25 are thrown.
	want := []string{"1 10 2026-05-06 yes", "11 15 2026-05-07 yes", "16 25 2026-05-07 no", "26 40 2026-05-08 no", "41 60 2026-05-09 no"}
	if diff := cmp.Diff(want, steps(ask(t, policies(t, "little-league"), 12, "2026-05-04", "2026-05-04 pitches 25"))); diff != "" {
		t.Error(diff)
	}
	// The second day running: the third is none, however few.
	want = []string{"1 35 2026-05-06 yes", "36 40 2026-05-07 yes", "41 50 2026-05-07 no", "51 65 2026-05-08 no", "66 85 2026-05-09 no"}
	if diff := cmp.Diff(want, steps(ask(t, policies(t, "little-league"), 12, "2026-05-04", "2026-05-03 pitches 5"))); diff != "" {
		t.Error(diff)
	}
	for _, a := range []workload.Answer{
		ask(t, policies(t, "little-league"), 12, "2026-05-05", "2026-05-04 pitches 50"), // no pitching today
		ask(t, policies(t, "elementary-throws"), 12, "2026-05-05"),                      // no rule
	} {
		if len(a.IfPitches) != 0 || a.IfPitches == nil {
			t.Errorf("%v", a.IfPitches)
		}
	}
}

func text(n int) string {
	b, _ := json.Marshal(n)
	return string(b)
}

func TestTotals(t *testing.T) {
	a := ask(t, policies(t, "pitch-smart"), 12, "2026-05-10",
		"2025-05-10 pitches 99", // a year ago to the day: out
		"2025-05-11 pitches 1", "2025-08-31 innings-pitched 2.1", "2025-09-01 base-throws 7", "2026-05-08 pitches 10",
		"2026-05-09 pitches 20", "2026-05-09 innings-caught 1.1", "2026-05-10 pitches 30", "2026-05-10 bullpen ?", "2026-05-10 innings-pitched 0.2")
	want := workload.Totals{
		Day:         workload.Sum{Pitches: 30, Throws: 30, InningsPitched: 0.6666667, DaysPitched: 1, Unknown: 1},
		Season:      workload.Sum{Pitches: 60, Throws: 67, InningsPitched: 0.6666667, DaysPitched: 3, Unknown: 1, InningsCaught: 1.3333333},
		Year:        workload.Sum{Pitches: 61, Throws: 68, InningsPitched: 3, DaysPitched: 5, Unknown: 1, InningsCaught: 1.3333333},
		DaysRunning: 3,
	}
	got := a.Totals
	if len(got.Missing) != 1 || got.Missing[0].Line != 10 || got.Missing[0].Kind != "bullpen" {
		t.Errorf("missing %+v", got.Missing)
	}
	got.Missing = nil
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if a.AsRecordedTo == nil || a.AsRecordedTo.String() != "2026-05-10" {
		t.Errorf("recorded to %v", a.AsRecordedTo)
	}
}

func TestEmptyLedger(t *testing.T) {
	a := ask(t, policies(t, "pitch-smart"), 12, "2026-05-10")
	if brief(a.Pitching) != "yes 85" || brief(a.Catching) != "yes" || a.AsRecordedTo != nil || level(a.Cautions, "workload-unknown") != "note" {
		t.Errorf("%s, %s, %v, %v", brief(a.Pitching), brief(a.Catching), a.AsRecordedTo, a.Cautions)
	}
}

// Every key is always there, an empty array is [], and the same input gives the
// same bytes.
func TestAnswerJSON(t *testing.T) {
	one, err := json.Marshal(ask(t, policies(t, "pitch-smart"), 12, "2026-05-10"))
	if err != nil {
		t.Fatal(err)
	}
	two, _ := json.Marshal(ask(t, policies(t, "pitch-smart"), 12, "2026-05-10"))
	if string(one) != string(two) {
		t.Error("two answers to one question differ")
	}
	var top map[string]json.RawMessage
	if err := json.Unmarshal(one, &top); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"on", "pitching", "catching", "throwing", "totals", "as_recorded_to", "cautions", "policies", "calendar", "if_pitches_today", "load", "notes"} {
		if top[key] == nil {
			t.Errorf("no key %s", key)
		}
	}
	for _, part := range []string{`"missing":[]`, `"as_recorded_to":null`, `"next_day":"2026-05-10"`, `"left":85`, `"stops":[]`, `"entry":null`} {
		if !strings.Contains(string(one), part) {
			t.Errorf("no %s in %s", part, one)
		}
	}
}
