package civil

import "fmt"

// A MonthDay is a day of any year.
type MonthDay struct{ Month, Day int }

// A Birth is all that is kept of a birthday: the year and the month.
type Birth struct{ Year, Month int }

// seasonTurn is the month whose first day begins the next season.
const seasonTurn = 9

// SeasonYear is the year whose cut-off decides a player's age on that date: its
// own year, and from 1 September the next one.
func SeasonYear(on Date) int {
	if on.Month >= seasonTurn {
		return on.Year + 1
	}
	return on.Year
}

// SeasonStart is the first day of the season that the date belongs to.
func SeasonStart(on Date) Date { return Date{SeasonYear(on) - 1, seasonTurn, 1} }

// PlayingAge is the age in full years on the cut-off of the season's year. A
// player born in the cut-off's month counts as not yet a year older, whatever
// the cut-off's day, for only the month of birth is known: the younger age has
// the smaller limits.
func PlayingAge(bornYear, bornMonth int, on Date, cutMonth, cutDay int) int {
	age := SeasonYear(on) - bornYear
	if bornMonth >= cutMonth {
		age--
	}
	return age
}

// Age is the PlayingAge of someone born then.
func (b Birth) Age(on Date, cutoff MonthDay) int {
	return PlayingAge(b.Year, b.Month, on, cutoff.Month, cutoff.Day)
}

// Years is the age on a day, where no rule names a cut-off. Within the month of
// birth the birthday counts as still to come.
func (b Birth) Years(on Date) int {
	if on.Month <= b.Month {
		return on.Year - b.Year - 1
	}
	return on.Year - b.Year
}

// IsZero reports whether no birth is given.
func (b Birth) IsZero() bool { return b == Birth{} }

// String writes YYYY-MM; the zero Birth is the empty string.
func (b Birth) String() string {
	if b.IsZero() {
		return ""
	}
	return fmt.Sprintf("%04d-%02d", b.Year, b.Month)
}

// ParseBirth reads YYYY-MM.
func ParseBirth(s string) (Birth, error) {
	d, err := Parse(s + "-01")
	if err != nil || len(s) != len("2014-05") {
		return Birth{}, fmt.Errorf("%q is not a month of birth written YYYY-MM", s)
	}
	return Birth{d.Year, d.Month}, nil
}

// ParseMonthDay reads MM-DD, a day that some year has.
func ParseMonthDay(s string) (MonthDay, error) {
	d, err := Parse("2000-" + s) // a leap year: 02-29 is a day of some years
	if err != nil {
		return MonthDay{}, fmt.Errorf("%q is not a day of the year written MM-DD", s)
	}
	return MonthDay{d.Month, d.Day}, nil
}

// String writes MM-DD.
func (m MonthDay) String() string { return fmt.Sprintf("%02d-%02d", m.Month, m.Day) }

// UnmarshalText reads a Birth as ParseBirth does.
func (b *Birth) UnmarshalText(text []byte) (err error) {
	*b, err = ParseBirth(string(text))
	return err
}

// MarshalText writes a Birth as String does.
func (b Birth) MarshalText() ([]byte, error) { return []byte(b.String()), nil }
