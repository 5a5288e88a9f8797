package civil_test

import (
	"testing"
	"time"

	"rootcue/engine/civil"
)

// A date that is read is one of the standard library's calendar, and is written
// as it was read; the same holds of a month of birth.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"2026-05-09", "2024-02-29", "2023-02-29", "0001-01-01", "9999-12-31", "2026-5-9", "２026-05-09", "2012-11", "2012-13", "04-30", "02-30"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		d, err := civil.Parse(text)
		want, wantErr := time.Parse(time.DateOnly, text)
		if (err == nil) != (wantErr == nil && want.Year() > 0) {
			t.Fatalf("%q: found %v, %v; the standard library %v, %v", text, d, err, want, wantErr)
		}
		if err == nil && (d.String() != text || civil.FromNumber(d.Number()) != d) {
			t.Fatalf("%q is read as %v", text, d)
		}
		if b, err := civil.ParseBirth(text); err == nil && b.String() != text {
			t.Fatalf("%q is read as the month %v", text, b)
		}
		if m, err := civil.ParseMonthDay(text); err == nil && m.String() != text {
			t.Fatalf("%q is read as the day %v", text, m)
		}
	})
}
