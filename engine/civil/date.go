// Package civil holds dates as a club's calendar has them: a year, a month and
// a day, with no clock and no time zone, so that no date ever shifts.
package civil

import (
	"cmp"
	"fmt"
)

// A Date is a day of the Gregorian calendar. The zero Date is no date.
type Date struct{ Year, Month, Day int }

// daysBefore is the number of days before each month of a common year.
var daysBefore = [...]int{0, 0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365}

// Parse reads YYYY-MM-DD, years 0001 to 9999. The error says what was wanted.
func Parse(s string) (Date, error) {
	d, ok := scan(s)
	if !ok {
		return Date{}, fmt.Errorf("%q is not a date written YYYY-MM-DD", s)
	}
	if !d.Valid() {
		return Date{}, fmt.Errorf("%s is not a day of the calendar", s)
	}
	return d, nil
}

func scan(s string) (Date, bool) {
	if len(s) != 10 || s[4] != '-' || s[7] != '-' {
		return Date{}, false
	}
	y, okY := digits(s[:4])
	m, okM := digits(s[5:7])
	d, okD := digits(s[8:])
	return Date{y, m, d}, okY && okM && okD
}

func digits(s string) (n int, ok bool) {
	for _, c := range []byte(s) {
		if c < '0' || c > '9' {
			return 0, false
		}
		n = 10*n + int(c-'0')
	}
	return n, true
}

// Valid reports whether the calendar has that day, in the years 1 to 9999.
func (d Date) Valid() bool {
	return d.Year >= 1 && d.Year <= 9999 && d.Month >= 1 && d.Month <= 12 &&
		d.Day >= 1 && d.Day <= monthLength(d.Year, d.Month)
}

// IsZero reports whether d is no date.
func (d Date) IsZero() bool { return d == Date{} }

// String writes YYYY-MM-DD; the zero Date is the empty string.
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day)
}

// MarshalText writes d as String does.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads d as Parse does.
func (d *Date) UnmarshalText(text []byte) (err error) {
	*d, err = Parse(string(text))
	return err
}

// Compare is negative when d is before e, 0 when they are the same day.
func (d Date) Compare(e Date) int {
	return cmp.Or(cmp.Compare(d.Year, e.Year), cmp.Compare(d.Month, e.Month), cmp.Compare(d.Day, e.Day))
}

// Before reports whether d is earlier than e.
func (d Date) Before(e Date) bool { return d.Compare(e) < 0 }

// After reports whether d is later than e.
func (d Date) After(e Date) bool { return d.Compare(e) > 0 }

// AddDays is the date n days later, earlier when n is negative.
func (d Date) AddDays(n int) Date { return FromNumber(d.Number() + n) }

// DaysTo is the number of days from d to e, negative when e is earlier.
func (d Date) DaysTo(e Date) int { return e.Number() - d.Number() }

// AddYears is the same day n years later. 29 February becomes 28 February in a
// common year.
func (d Date) AddYears(n int) Date {
	d.Year += n
	d.Day = min(d.Day, monthLength(d.Year, d.Month))
	return d
}

// Number counts days: 0001-01-01 is 1.
func (d Date) Number() int {
	y := d.Year - 1
	n := 365*y + y/4 - y/100 + y/400 + daysBefore[d.Month] + d.Day
	if d.Month > 2 && leap(d.Year) {
		n++
	}
	return n
}

// FromNumber is the date with that Number; n is at least 1.
func FromNumber(n int) Date {
	// 400 years have 146097 days. The guess is never late, and early by a year at most.
	year := (n-1)*400/146097 + 1
	for n > (Date{year, 12, 31}).Number() {
		year++
	}
	for n < (Date{year, 1, 1}).Number() {
		year--
	}
	d := Date{year, 12, 1}
	for n < d.Number() {
		d.Month--
	}
	d.Day = n - d.Number() + 1
	return d
}

// Weekday is the English name of the day of the week.
func (d Date) Weekday() string {
	// 0001-01-01 was a Monday.
	return [...]string{"Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"}[d.Number()%7]
}

func leap(year int) bool { return year%4 == 0 && (year%100 != 0 || year%400 == 0) }

func monthLength(year, month int) int {
	n := daysBefore[month+1] - daysBefore[month]
	if month == 2 && leap(year) {
		n++
	}
	return n
}
