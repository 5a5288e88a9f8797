package workload_test

import (
	"fmt"
	"testing"

	"rootcue/engine/workload"
)

// A tier table as it is published: the last pitch count of each tier, in order
// of 0, 1, 2, … days of rest; the last tier ends at the daily limit or above.
type published struct {
	policy   string
	from, to int // ages
	most     int // pitches a day
	tiers    []int
}

// Pitch Smart guidelines (MLB and USA Baseball, as amended 2018), table of
// pitch count limits and required rest; Little League Baseball, Regulation VI
// (c) and (d), from leagues' reprints. Written out here, not read from the
// policy files.
var tables = []published{
	{"pitch-smart", 7, 8, 50, []int{20, 35, 50}},
	{"pitch-smart", 9, 10, 75, []int{20, 35, 50, 65, 75}},
	{"pitch-smart", 11, 12, 85, []int{20, 35, 50, 65, 85}},
	{"pitch-smart", 13, 14, 95, []int{20, 35, 50, 65, 95}},
	{"pitch-smart", 15, 16, 95, []int{30, 45, 60, 75, 95}},
	{"pitch-smart", 17, 18, 105, []int{30, 45, 60, 80, 105}},
	{"pitch-smart", 19, 22, 120, []int{30, 45, 60, 80, 105, 120}},
	{"little-league", 7, 8, 50, []int{20, 35, 50, 65, 66}},
	{"little-league", 9, 10, 75, []int{20, 35, 50, 65, 75}},
	{"little-league", 11, 12, 85, []int{20, 35, 50, 65, 85}},
	{"little-league", 13, 14, 95, []int{20, 35, 50, 65, 95}},
	{"little-league", 15, 16, 95, []int{30, 45, 60, 75, 95}},
	{"little-league", 17, 18, 105, []int{30, 45, 60, 75, 105}},
}

func TestTierEdges(t *testing.T) {
	for _, table := range tables {
		one := policies(t, table.policy)
		for age := table.from; age <= table.to; age++ {
			first := 1
			for rest, last := range table.tiers {
				for _, count := range []int{first, last} {
					checkRest(t, one, age, count, rest)
				}
				first = last + 1
			}
			// A count above the last tier takes the last tier's days.
			checkRest(t, one, age, first, len(table.tiers)-1)
			checkRest(t, one, age, 150, len(table.tiers)-1)
		}
	}
}

// checkRest asks on each day after a Monday with so many pitches: no until the
// full days of rest are over, then yes.
func checkRest(t *testing.T, one []*workload.Policy, age, count, rest int) {
	t.Helper()
	monday := date(t, "2026-05-04")
	next := monday.AddDays(rest + 1)
	line := fmt.Sprintf("2026-05-04 pitches %d", count)
	for d := monday.AddDays(1); !d.After(next); d = d.AddDays(1) {
		v := ask(t, one, age, d.String(), line).Pitching
		want := "no"
		if d == next {
			want = "yes"
		}
		if v.Answer != want || v.NextDay == nil || *v.NextDay != next {
			t.Errorf("%s, age %d: %d pitches on Monday, asked on %s: %s, next day %v; want %s, %v", one[0].Name, age, count, d, v.Answer, v.NextDay, want, next)
		}
		if want == "no" && (v.Rule != "rest" || v.Policy != one[0].Name || v.Entry == nil || v.Entry.Line != 2 || *v.Left != 0) {
			t.Errorf("%s, age %d, %d pitches: decided by %s of %s, entry %v", one[0].Name, age, count, v.Rule, v.Policy, v.Entry)
		}
	}
}

func TestDailyLimitEdges(t *testing.T) {
	for _, table := range tables {
		one := policies(t, table.policy)
		for age := table.from; age <= table.to; age++ {
			for _, c := range []struct {
				count int
				want  string
			}{
				{1, fmt.Sprintf("yes %d", table.most-1)},
				{table.most - 1, "yes 1"},
				{table.most, "no " + date(t, "2026-05-05").AddDays(min(len(table.tiers)-1, days(table, table.most))).String() + " most_a_day"},
				{table.most + 1, "no " + date(t, "2026-05-05").AddDays(days(table, table.most+1)).String() + " most_a_day"},
			} {
				got := brief(ask(t, one, age, "2026-05-04", fmt.Sprintf("2026-05-04 pitches %d", c.count)).Pitching)
				if got != c.want {
					t.Errorf("%s, age %d, %d pitches that day: %s, want %s", table.policy, age, c.count, got, c.want)
				}
			}
		}
	}
}

// days is the rest that the table asks for after so many pitches.
func days(table published, count int) int {
	for rest, last := range table.tiers {
		if count <= last {
			return rest
		}
	}
	return len(table.tiers) - 1
}

func TestAgesOutsideTheTables(t *testing.T) {
	for policy, ages := range map[string][]int{"pitch-smart": {0, 6, 23, 40}, "little-league": {6, 19}, "elementary-throws": {5, 13}} {
		for _, age := range ages {
			a := ask(t, policies(t, policy), age, "2026-05-05", "2026-05-04 pitches 60")
			for _, v := range []workload.Verdict{a.Pitching, a.Catching, a.Throwing} {
				if brief(v) != "no-rule" || v.NextDay != nil || v.Left != nil {
					t.Errorf("%s, age %d: %+v", policy, age, v)
				}
			}
			if len(a.Notes) != 1 || a.Notes[0].Code != "no-rule-for-age" {
				t.Errorf("%s, age %d: notes %v", policy, age, a.Notes)
			}
		}
	}
}
