package civil_test

import (
	"encoding/json"
	"testing"
	"time"

	"rootcue/engine/civil"

	"pgregory.net/rapid"
)

func TestParse(t *testing.T) {
	for in, want := range map[string]civil.Date{
		"2026-05-04": {2026, 5, 4},
		"2024-02-29": {2024, 2, 29},
		"2000-02-29": {2000, 2, 29},
		"0001-01-01": {1, 1, 1},
		"9999-12-31": {9999, 12, 31},
	} {
		got, err := civil.Parse(in)
		if err != nil || got != want || got.String() != in {
			t.Errorf("Parse(%q) = %v, %v; want %v", in, got, err, want)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for in, want := range map[string]string{
		"":             `"" is not a date written YYYY-MM-DD`,
		"2026-5-4":     `"2026-5-4" is not a date written YYYY-MM-DD`,
		"05/04/2026":   `"05/04/2026" is not a date written YYYY-MM-DD`,
		"2026-05-04T0": `"2026-05-04T0" is not a date written YYYY-MM-DD`,
		"+026-05-04":   `"+026-05-04" is not a date written YYYY-MM-DD`,
		"2026-02-29":   "2026-02-29 is not a day of the calendar",
		"1900-02-29":   "1900-02-29 is not a day of the calendar",
		"2026-13-01":   "2026-13-01 is not a day of the calendar",
		"2026-00-10":   "2026-00-10 is not a day of the calendar",
		"2026-04-31":   "2026-04-31 is not a day of the calendar",
		"0000-01-01":   "0000-01-01 is not a day of the calendar",
	} {
		if _, err := civil.Parse(in); err == nil || err.Error() != want {
			t.Errorf("Parse(%q): %v; want %s", in, err, want)
		}
	}
}

// The standard library's calendar, kept in UTC, is the outside reference.
func TestAgainstTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 3652059).Draw(t, "n") // 9999-12-31
		d := civil.FromNumber(n)
		want := time.Date(1, 1, n, 0, 0, 0, 0, time.UTC)
		if d.String() != want.Format(time.DateOnly) || d.Number() != n || !d.Valid() {
			t.Fatalf("day %d is %v, number %d; want %s", n, d, d.Number(), want.Format(time.DateOnly))
		}
		if d.Weekday() != want.Weekday().String() {
			t.Fatalf("%v is a %s, want %s", d, d.Weekday(), want.Weekday())
		}
	})
}

func TestDayArithmetic(t *testing.T) {
	for _, c := range []struct {
		from string
		days int
		to   string
	}{
		{"2024-02-28", 1, "2024-02-29"}, // leap day
		{"2024-02-28", 2, "2024-03-01"},
		{"2025-02-28", 1, "2025-03-01"},
		{"2026-12-31", 1, "2027-01-01"},
		{"2026-03-28", 2, "2026-03-30"}, // clocks change in Europe on the 29th
		{"2026-03-07", 2, "2026-03-09"}, // and in America on the 8th
		{"2026-05-04", -4, "2026-04-30"},
	} {
		from, to := date(t, c.from), date(t, c.to)
		if got := from.AddDays(c.days); got != to {
			t.Errorf("%s and %d days: %v, want %s", c.from, c.days, got, c.to)
		}
		if got := from.DaysTo(to); got != c.days {
			t.Errorf("from %s to %s: %d days, want %d", c.from, c.to, got, c.days)
		}
	}
}

func TestAddYears(t *testing.T) {
	for _, c := range []struct {
		from  string
		years int
		to    string
	}{
		{"2024-02-29", -1, "2023-02-28"},
		{"2024-02-29", 4, "2028-02-29"},
		{"2025-02-28", -1, "2024-02-28"},
		{"2026-05-10", -1, "2025-05-10"},
	} {
		if got := date(t, c.from).AddYears(c.years); got.String() != c.to {
			t.Errorf("%s and %d years: %v, want %s", c.from, c.years, got, c.to)
		}
	}
}

func TestOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := civil.FromNumber(rapid.IntRange(700000, 800000).Draw(t, "a"))
		b := civil.FromNumber(rapid.IntRange(700000, 800000).Draw(t, "b"))
		if a.Before(b) != (a.DaysTo(b) > 0) || a.After(b) != (a.DaysTo(b) < 0) || (a.Compare(b) == 0) != (a == b) {
			t.Fatalf("order of %v and %v disagrees with their distance", a, b)
		}
	})
}

func TestJSON(t *testing.T) {
	var v struct {
		On   civil.Date
		Born civil.Birth
	}
	if err := json.Unmarshal([]byte(`{"On":"2026-05-09","Born":"2014-08"}`), &v); err != nil {
		t.Fatal(err)
	}
	out, err := json.Marshal(v)
	if err != nil || string(out) != `{"On":"2026-05-09","Born":"2014-08"}` {
		t.Errorf("%s, %v", out, err)
	}
	if err := json.Unmarshal([]byte(`{"On":"9 May"}`), &v); err == nil {
		t.Error("a date in words was accepted")
	}
	if s := (civil.Date{}).String() + (civil.Birth{}).String(); s != "" {
		t.Errorf("no date is written %q", s)
	}
}

func date(t *testing.T, s string) civil.Date {
	t.Helper()
	d, err := civil.Parse(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}
