package civil_test

import (
	"testing"

	"rootcue/engine/civil"
)

func TestPlayingAge(t *testing.T) {
	for _, c := range []struct {
		born, on, cutoff string
		want             int
	}{
		{"2014-03", "2026-05-09", "04-30", 12},
		{"2014-04", "2026-05-09", "04-30", 11}, // the cut-off's month: not yet
		{"2014-05", "2026-05-09", "04-30", 11},
		{"2014-12", "2026-05-09", "04-30", 11},
		{"2014-03", "2026-01-01", "04-30", 12}, // before the cut-off, of the same season
		{"2014-03", "2026-08-31", "04-30", 12},
		{"2014-03", "2026-09-01", "04-30", 13}, // the next season begins
		{"2014-03", "2026-12-31", "04-30", 13},
		{"2014-03", "2027-01-01", "04-30", 13},
		{"2014-07", "2026-05-09", "08-31", 12},
		{"2014-08", "2026-05-09", "08-31", 11},
		{"2014-08", "2026-05-09", "09-01", 12},
		{"2014-01", "2026-05-09", "01-01", 11},
		{"2012-02", "2024-02-29", "04-30", 12},
	} {
		born, err := civil.ParseBirth(c.born)
		if err != nil {
			t.Fatal(err)
		}
		cutoff, err := civil.ParseMonthDay(c.cutoff)
		if err != nil {
			t.Fatal(err)
		}
		if got := born.Age(date(t, c.on), cutoff); got != c.want {
			t.Errorf("born %s, on %s, cut-off %s: age %d, want %d", c.born, c.on, c.cutoff, got, c.want)
		}
	}
}

func TestSeason(t *testing.T) {
	for on, want := range map[string]string{
		"2026-05-09": "2025-09-01",
		"2026-08-31": "2025-09-01",
		"2026-09-01": "2026-09-01",
		"2027-01-01": "2026-09-01",
	} {
		if got := civil.SeasonStart(date(t, on)); got.String() != want {
			t.Errorf("the season of %s starts %v, want %s", on, got, want)
		}
	}
}

func TestBirthAndMonthDayText(t *testing.T) {
	for _, in := range []string{"2014", "2014-13", "2014-00", "14-05", "2014-05-01", "", "2014-5"} {
		if b, err := civil.ParseBirth(in); err == nil {
			t.Errorf("ParseBirth(%q) = %v", in, b)
		}
	}
	for _, in := range []string{"4-30", "13-01", "02-30", "", "04-31", "2026-04-30"} {
		if m, err := civil.ParseMonthDay(in); err == nil {
			t.Errorf("ParseMonthDay(%q) = %v", in, m)
		}
	}
	for _, in := range []string{"04-30", "02-29", "12-31"} {
		if m, err := civil.ParseMonthDay(in); err != nil || m.String() != in {
			t.Errorf("ParseMonthDay(%q) = %v, %v", in, m, err)
		}
	}
}

// The rule written out for every month of birth and every month asked about.
func TestPlayingAgeInEveryMonth(t *testing.T) {
	for born := 1; born <= 12; born++ {
		for month := 1; month <= 12; month++ {
			for cut := 1; cut <= 12; cut++ {
				season := 2026
				if month >= 9 {
					season = 2027
				}
				want := season - 2014
				if born >= cut { // has not surely had the birthday by the cut-off
					want--
				}
				on := civil.Date{Year: 2026, Month: month, Day: 15}
				if got := civil.PlayingAge(2014, born, on, cut, 30); got != want {
					t.Errorf("born in month %d, asked in month %d, cut-off month %d: %d, want %d", born, month, cut, got, want)
				}
			}
		}
	}
}

func TestYears(t *testing.T) {
	for _, tt := range []struct {
		on   string
		want int
	}{{"2026-02-28", 11}, {"2026-03-31", 11}, {"2026-04-01", 12}, {"2026-10-10", 12}, {"2027-04-01", 13}} {
		on, err := civil.Parse(tt.on)
		if err != nil {
			t.Fatal(err)
		}
		if got := (civil.Birth{Year: 2014, Month: 3}).Years(on); got != tt.want {
			t.Errorf("born 2014-03, on %s: %d, wanted %d", tt.on, got, tt.want)
		}
	}
}
