package club_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/internal/club"
)

// rep is a rep with a stride off the line, in degrees.
func rep(n int, off float64) string {
	return fmt.Sprintf(`{"rep": %d, "measures": {"stride_off_line": %g}}`, n, off)
}

// doc is an observation; more are further keys, such as "session": "s".
func doc(player string, more string, reps ...string) string {
	if more != "" {
		more += ", "
	}
	return fmt.Sprintf(`{"rubric": "throw-to-second", "player": {"ref": %q, "age": 12, "stature_cm": 151}, "on": "2026-05-09", %s"reps": [%s]}`, player, more, strings.Join(reps, ", "))
}

func statuses(lines []club.Line) (list []string) {
	for _, l := range lines {
		list = append(list, fmt.Sprint(l.Line, " ", l.Status))
	}
	return list
}

const s1 = `"session": "s1"`

// Each case sends lines one after the other to a new club.
func TestSubmit(t *testing.T) {
	for _, tt := range []struct {
		name string
		docs []string
		want []string
		reps []string // of the current assessments, newest first
	}{
		{"one", []string{doc("P-1", "", rep(1, 12))}, []string{"1 stored"}, []string{"1"}},
		{"two players", []string{doc("P-1", "", rep(1, 12)), doc("P-2", "", rep(1, 12))}, []string{"1 stored", "2 stored"}, []string{"1", "1"}},
		{"twice", []string{doc("P-1", "", rep(1, 12)), doc("P-1", "", rep(1, 12))}, []string{"1 stored", "2 same"}, []string{"1"}},
		{"twice, laid out otherwise", []string{doc("P-1", "", rep(1, 12)), strings.ReplaceAll(doc("P-1", "", rep(1, 12)), " ", "")}, []string{"1 stored", "2 same"}, []string{"1"}},
		{"corrected", []string{doc("P-1", "", rep(1, 12)), doc("P-1", "", rep(1, 4))}, []string{"1 stored", "2 corrected"}, []string{"1"}},
		{"the old one again", []string{doc("P-1", "", rep(1, 12)), doc("P-1", "", rep(1, 4)), doc("P-1", "", rep(1, 12))}, []string{"1 stored", "2 corrected", "3 same"}, []string{"1"}},
		{"other reps without a session", []string{doc("P-1", "", rep(1, 12)), doc("P-1", "", rep(2, 12))}, []string{"1 stored", "2 stored"}, []string{"1", "1"}},
		{"other reps of a session", []string{doc("P-1", s1, rep(2, 12)), doc("P-1", s1, rep(1, 12))}, []string{"1 stored", "2 stored"}, []string{"2"}},
		{"part of a session again", []string{doc("P-1", s1, rep(2, 12)), doc("P-1", s1, rep(1, 12)), doc("P-1", s1, rep(1, 12)), doc("P-1", s1, rep(2, 12))}, []string{"1 stored", "2 stored", "3 same", "4 same"}, []string{"2"}},
		{"a rep of a session corrected", []string{doc("P-1", s1, rep(1, 12), rep(2, 12)), doc("P-1", s1, rep(2, 4))}, []string{"1 stored", "2 corrected"}, []string{"2"}},
		{"another rater", []string{doc("P-1", s1+`, "rater": "E1"`, rep(1, 12)), doc("P-1", s1+`, "rater": "E2"`, rep(1, 12))}, []string{"1 stored", "2 stored"}, []string{"1", "1"}},
		{"the year's end out of order", []string{strings.Replace(doc("P-1", "", rep(1, 12)), "2026-05", "2026-12", 1), doc("P-1", "", rep(1, 12))}, []string{"1 stored", "2 stored"}, []string{"1", "1"}},
		{"bad among good", []string{doc("P-1", "", rep(1, 12)), `{"x": 1}`, "", "nonsense", doc("P-2", "", rep(1, 12))}, []string{"1 stored", "2 refused", "4 refused", "5 stored"}, []string{"1", "1"}},
		{"NUL in a reference", []string{doc("P-\u0000", "", rep(1, 12))}, []string{"1 refused"}, nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			each(t, func(t *testing.T, c *club.Clubs) {
				a := member(t, c, "North", "submit")
				lines, _ := submit(t, c, a, club.NDJSON(strings.NewReader(strings.Join(tt.docs, "\n"))), nil)
				if diff := cmp.Diff(tt.want, statuses(lines)); diff != "" {
					t.Errorf("found + and not -:\n%s\n%v", diff, lines)
				}
			})
		})
	}
}
