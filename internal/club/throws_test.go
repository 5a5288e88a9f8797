package club_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"rootcue/engine/workload"
	"rootcue/internal/club"
	"rootcue/internal/store"
	"rootcue/internal/store/sqlstore"
)

// at sets the time of a club's database.
func at(t testing.TB, c *club.Clubs, moment string) {
	t.Helper()
	m, err := time.Parse(time.RFC3339, moment)
	if err != nil {
		t.Fatal(err)
	}
	start := time.Now()
	c.Store.(*sqlstore.DB).Clock = func() time.Time { return m.Add(time.Since(start)) }
}

// settings changes the club's settings.
func settings(t testing.TB, c *club.Clubs, a club.Actor, change func(*club.Settings)) {
	t.Helper()
	s, err := c.Settings(ctx, a)
	if err != nil {
		t.Fatal(err)
	}
	change(&s)
	if err := c.PutSettings(ctx, a, s, func(club.Settings) bool { return true }); err != nil {
		t.Fatal(err)
	}
}

// enter adds ledger entries in JSON and gives the states of the lines.
func enter(t testing.TB, c *club.Clubs, a club.Actor, ref, entries string) (lines []club.ThrowLine, states []string) {
	t.Helper()
	lines, err := c.AddThrows(ctx, a, ref, []byte(entries), false)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range lines {
		states = append(states, fmt.Sprint(l.Line, " ", l.Status))
	}
	return lines, states
}

// ledger lists what stands in a player's ledger as an actor sees it.
func ledger(t testing.TB, c *club.Clubs, a club.Actor, ref string, all bool) (list []string) {
	t.Helper()
	throws, err := c.Throws(ctx, a, ref, "", "", all)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range throws {
		count := "?"
		if n := club.CountOf(e); n != nil {
			count = fmt.Sprintf("%.4g", *n)
		}
		list = append(list, strings.Join(strings.Fields(fmt.Sprint(e.Date, " ", e.Kind, " ", count, " ", e.Pain, " ", e.Note, " ", e.Source)), " "))
	}
	return list
}

const spring = "2026-05-10T15:00:00Z"

func TestAddThrows(t *testing.T) {
	for _, tt := range []struct {
		name, role, entries string
		want, ledger        []string
	}{
		{"one entry", "submit", `{"date": "2026-05-02", "kind": "pitches", "count": 43}`, []string{"1 stored"}, []string{"2026-05-02 pitches 43"}},
		{"an unknown count is not zero", "submit", `[{"date": "2026-05-02", "kind": "pitches"}, {"date": "2026-05-03", "kind": "pitches", "count": 0}]`, []string{"1 stored", "2 stored"}, []string{"2026-05-02 pitches ?", "2026-05-03 pitches 0"}},
		{"innings in outs", "submit", `[{"date": "2026-05-02", "kind": "innings-caught", "count": "4 1/3"}, {"date": "2026-05-03", "kind": "innings-pitched", "count": 2.2}]`, []string{"1 stored", "2 stored"}, []string{"2026-05-02 innings-caught 4.333", "2026-05-03 innings-pitched 2.667"}},
		{"no whole outs", "submit", `[{"date": "2026-05-02", "kind": "innings-caught", "count": 4.5}]`, []string{"1 refused"}, nil},
		{"bad among good", "submit", `[{"date": "2026-05-02", "kind": "pitches", "count": 3}, {"date": "2026-02-30", "kind": "pitches", "count": 4}, {"date": "2026-05-02", "kind": "pichtes", "count": 5}, {"date": "2026-05-03", "kind": "bullpen", "count": -1}, {"date": "2026-05-04", "kind": "bullpen", "count": 6}]`,
			[]string{"1 stored", "2 refused", "3 refused", "4 refused", "5 stored"}, []string{"2026-05-02 pitches 3", "2026-05-04 bullpen 6"}},
		{"a later day", "submit", `[{"date": "2026-05-11", "kind": "pitches", "count": 3}]`, []string{"1 refused"}, nil},
		{"pain", "submit", `[{"date": "2026-05-02", "kind": "pitches", "count": 3, "pain": "elbow, 3/10"}]`, []string{"1 stored"}, []string{"2026-05-02 pitches 3 elbow, 3/10"}},
		{"pain with a date that cannot be read counts from today", "submit", `[{"date": "last week", "kind": "pain"}]`, []string{"1 stored"}, []string{"2026-05-10 pain ?"}},
		{"pain with a bad count", "submit", `[{"date": "2026-05-02", "kind": "pitches", "count": "many", "pain": true}]`, []string{"1 stored"}, []string{"2026-05-02 pitches ? yes"}},
		{"misspelt pain", "submit", `[{"date": "2026-05-02", "kind": "pian"}]`, []string{"1 stored"}, []string{"2026-05-02 pain ?"}},
		{"a clearance by an instructor", "edit", `[{"date": "2026-05-02", "kind": "cleared", "note": "physician"}]`, []string{"1 refused"}, nil},
		{"a clearance by an admin", "admin", `[{"date": "2026-05-02", "kind": "cleared", "note": "physician"}]`, []string{"1 stored"}, []string{"2026-05-02 cleared ? physician"}},
		{"a clearance that names no role", "admin", `[{"date": "2026-05-02", "kind": "cleared"}]`, []string{"1 refused"}, nil},
		{"like entries of one list are two", "submit", `[{"date": "2026-05-02", "kind": "bullpen", "count": 20}, {"date": "2026-05-02", "kind": "bullpen", "count": 20}]`, []string{"1 stored", "2 stored"}, []string{"2026-05-02 bullpen 20", "2026-05-02 bullpen 20"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			each(t, func(t *testing.T, c *club.Clubs) {
				at(t, c, spring)
				a, admin := member(t, c, "North", tt.role), member(t, c, "North", "admin")
				lines, states := enter(t, c, a, "P-1", tt.entries)
				if diff := cmp.Diff(tt.want, states); diff != "" {
					t.Errorf("found + and not -:\n%s", diff)
				}
				for _, l := range lines {
					if (l.Status == club.Refused) != (l.ID == "") || l.Status == club.Refused && len(l.Slips) == 0 {
						t.Errorf("line %+v", l)
					}
				}
				if diff := cmp.Diff(tt.ledger, ledger(t, c, admin, "P-1", false)); diff != "" {
					t.Errorf("found + and not -:\n%s", diff)
				}
				if _, again := enter(t, c, a, "P-1", tt.entries); strings.Contains(strings.Join(again, " "), "stored") {
					t.Errorf("sent again: %v", again)
				}
				if diff := cmp.Diff(tt.ledger, ledger(t, c, admin, "P-1", false)); diff != "" {
					t.Errorf("sent again, found + and not -:\n%s", diff)
				}
			})
		})
	}
}

// A file sent again counts nothing twice, also where an entry of it was corrected
// since. What was withdrawn can be entered anew, and pain always.
func TestThrowsAgainAfterCorrection(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, spring)
		a := member(t, c, "North", "admin")
		const file = `[{"date": "2026-05-02", "kind": "pitches", "count": 68}, {"date": "2026-05-03", "kind": "bullpen", "count": 20}, {"date": "2026-05-04", "kind": "pain", "note": "elbow"}, {"date": "2026-05-05", "kind": "pain", "note": "knee"}]`
		lines, _ := enter(t, c, a, "P-1", file)
		correct := func(id, entry string) string {
			t.Helper()
			line, err := c.CorrectThrow(ctx, a, "P-1", id, []byte(entry))
			if err != nil {
				t.Fatal(err)
			}
			return line.ID
		}
		correct(correct(lines[0].ID, `{"date": "2026-05-02", "kind": "pitches", "count": 80}`), `{"date": "2026-05-02", "kind": "pitches", "count": 86}`)
		correct(lines[2].ID, `{"date": "2026-05-04", "kind": "tired"}`)
		for _, i := range []int{1, 3} {
			if err := c.WithdrawThrow(ctx, a, "P-1", lines[i].ID); err != nil {
				t.Fatal(err)
			}
		}
		_, again := enter(t, c, a, "P-1", file)
		if diff := cmp.Diff([]string{"1 same", "2 stored", "3 stored", "4 stored"}, again); diff != "" {
			t.Errorf("found + and not -:\n%s", diff)
		}
		want := []string{"2026-05-02 pitches 86", "2026-05-03 bullpen 20", "2026-05-04 pain ? elbow", "2026-05-04 tired ?", "2026-05-05 pain ? knee"}
		found := slices.DeleteFunc(slices.Sorted(slices.Values(ledger(t, c, a, "P-1", false))), func(e string) bool { return strings.Contains(e, "withdrawn") })
		if diff := cmp.Diff(want, found); diff != "" {
			t.Errorf("found + and not -:\n%s", diff)
		}
	})
}

// However many lines are bad, and however bad, the good ones are kept; a list
// longer than anybody's is refused with one slip.
func TestManyBadThrows(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, spring)
		a := member(t, c, "North", "admin")
		const good = `{"date": "2026-05-02", "kind": "bullpen", "count": 20}`
		bad := strings.Repeat(`1, {"a": 1, "b": 2}, `, 100)
		lines, _ := enter(t, c, a, "P-1", "["+bad+good+"]")
		if len(lines) != 201 || lines[200].Status != club.Stored || len(ledger(t, c, a, "P-1", true)) != 1 {
			t.Fatalf("%d lines, the last %+v", len(lines), lines[len(lines)-1])
		}
		for _, l := range lines[:200] {
			if l.Status != club.Refused || len(l.Slips) == 0 {
				t.Fatalf("line %d is %s with %d slips", l.Line, l.Status, len(l.Slips))
			}
		}
		wide := `{"k0": 1`
		for i := range 100 {
			wide += fmt.Sprintf(`, "k%d": 1`, i+1)
		}
		if lines, _ := enter(t, c, a, "P-1", "["+wide+"}, "+good+"]"); len(lines) != 2 || len(lines[0].Slips) > 15 || lines[1].Status != club.Same {
			t.Errorf("of an entry of 101 unknown keys %d slips are told: %+v", len(lines[0].Slips), lines)
		}
		for name, list := range map[string]string{"a list": "[" + strings.Repeat("1,", 50_000) + good + "]", "a table": "date,kind,count\n" + strings.Repeat("1\n", 50_001)} {
			var refusal *club.Refusal
			if _, err := c.AddThrows(ctx, a, "P-1", []byte(list), name == "a table"); !errors.As(err, &refusal) || len(refusal.Slips) != 1 || refusal.Slips[0].Code != "too-many-lines" {
				t.Errorf("%s: %v", name, err)
			}
		}
	})
}

func TestThrowsAsTable(t *testing.T) {
	c := embedded(t)
	at(t, c, spring)
	a := member(t, c, "North", "admin")
	table := "date;kind;count;pain\n2026-05-02;pitches;43;\n5/3/26;pitches;12;\n2026-05-04;bullpen;;yes\n"
	lines, err := c.AddThrows(ctx, a, "P-1", []byte(table), true)
	if err != nil || len(lines) != 3 || lines[1].Line != 3 || lines[1].Status != club.Refused || lines[1].Slips[0].Column != 1 {
		t.Fatalf("found %+v, %v", lines, err)
	}
	if diff := cmp.Diff([]string{"2026-05-02 pitches 43", "2026-05-04 bullpen ? yes"}, ledger(t, c, a, "P-1", false)); diff != "" {
		t.Errorf("found + and not -:\n%s", diff)
	}
	for _, bad := range []string{"", "when,what\n", "{}"} {
		var refusal *club.Refusal
		if _, err := c.AddThrows(ctx, a, "P-1", []byte(bad), true); !errors.As(err, &refusal) {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

// A day is over when it is over on the field: at 03:00 UTC on 11 May it is
// still the evening of 10 May in Los Angeles.
func TestDaysAreTheClubs(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, "2026-05-11T03:00:00Z")
		a := member(t, c, "North", "admin")
		settings(t, c, a, func(s *club.Settings) { s.TimeZone = "America/Los_Angeles" })
		_, states := enter(t, c, a, "P-1", `[{"date": "2026-05-10", "kind": "tired"}, {"date": "2026-05-11", "kind": "pitches", "count": 3}, {"date": "x", "kind": "pain"}]`)
		if diff := cmp.Diff([]string{"1 stored", "2 refused", "3 stored"}, states); diff != "" {
			t.Errorf("found + and not -:\n%s", diff)
		}
		if diff := cmp.Diff([]string{"2026-05-10 tired ?", "2026-05-10 pain ?"}, ledger(t, c, a, "P-1", false)); diff != "" {
			t.Errorf("found + and not -:\n%s", diff)
		}
	})
}

// A day of 23 or 25 hours is one day, from midnight to midnight on the club's
// clocks; where they jump over midnight, from the first minute after it. The
// moments are by the IANA time zone database's rules for 2026.
func TestDaysOnWhichClocksChange(t *testing.T) {
	for zone, moments := range map[string][]string{ // when a day begins, and which
		"America/New_York": {"2026-03-08T05:00:00Z 2026-03-08", "2026-03-09T04:00:00Z 2026-03-09", "2026-11-01T04:00:00Z 2026-11-01", "2026-11-02T05:00:00Z 2026-11-02"},
		"Europe/Madrid":    {"2026-03-28T23:00:00Z 2026-03-29", "2026-03-29T22:00:00Z 2026-03-30", "2026-10-24T22:00:00Z 2026-10-25", "2026-10-25T23:00:00Z 2026-10-26"},
		"Pacific/Auckland": {"2026-04-04T11:00:00Z 2026-04-05", "2026-04-05T12:00:00Z 2026-04-06", "2026-09-26T12:00:00Z 2026-09-27", "2026-09-27T11:00:00Z 2026-09-28"},
		"America/Havana":   {"2026-03-08T05:00:00Z 2026-03-08", "2026-03-09T04:00:00Z 2026-03-09", "2026-11-01T04:00:00Z 2026-11-01", "2026-11-02T05:00:00Z 2026-11-02"}, // 0:00 becomes 1:00, and 1:00 becomes 0:00
	} {
		c := embedded(t)
		at(t, c, spring)
		a := member(t, c, "North", "admin")
		settings(t, c, a, func(s *club.Settings) { s.TimeZone = zone })
		for i, m := range moments {
			begins, day, _ := strings.Cut(m, " ")
			moment, err := time.Parse(time.RFC3339, begins)
			if err != nil {
				t.Fatal(err)
			}
			next, err := time.Parse(time.DateOnly, day)
			if err != nil {
				t.Fatal(err)
			}
			for _, is := range []struct{ at, today string }{{moment.Add(-time.Minute).Format(time.RFC3339), next.AddDate(0, 0, -1).Format(time.DateOnly)}, {begins, day}} {
				at(t, c, is.at)
				ref := fmt.Sprintf("P-%d-%s", i, is.today)
				enter(t, c, a, ref, `[{"date": "?", "kind": "pain"}]`) // holds from today on
				if diff := cmp.Diff([]string{is.today + " pain ?"}, ledger(t, c, a, ref, false)); diff != "" {
					t.Errorf("%s in %s: found + and not -:\n%s", is.at, zone, diff)
				}
			}
		}
	}
}

// Who sees, corrects and takes back what. The entry is an admin's.
func TestWhoMayWhat(t *testing.T) {
	const pitches, tired, pain, cleared = `{"date": "2026-05-02", "kind": "pitches", "count": 43}`, `{"date": "2026-05-02", "kind": "tired"}`, `{"date": "2026-05-02", "kind": "pain", "note": "elbow"}`, `{"date": "2026-05-03", "kind": "cleared", "note": "physician"}`
	for _, tt := range []struct {
		entry, to           string
		sees, may, withdraw string // roles
	}{
		{pitches, `{"date": "2026-05-02", "kind": "pitches", "count": 40}`, "read submit edit admin", "submit edit admin", "submit edit admin"},
		{tired, `{"date": "2026-05-02", "kind": "pitches", "count": 40}`, "edit admin", "edit admin", "edit admin"},
		{pain, `{"date": "2026-05-02", "kind": "pitches", "count": 40}`, "edit admin", "admin", "admin"},
		{pain, `{"date": "2026-05-01", "kind": "head-or-chest-blow"}`, "edit admin", "submit edit admin", "admin"},
		{pain, `{"date": "2026-05-04", "kind": "pain"}`, "edit admin", "admin", "admin"}, // later: days of stop would be lost
		{cleared, `{"date": "2026-05-02", "kind": "pitches", "count": 40}`, "edit admin", "admin", "admin"},
	} {
		t.Run(tt.entry, func(t *testing.T) {
			c := embedded(t)
			at(t, c, spring)
			admin := member(t, c, "North", "admin")
			for i, role := range club.Roles {
				a, ref := member(t, c, "North", role), fmt.Sprint("P-", i)
				lines, _ := enter(t, c, admin, ref, tt.entry)
				if sees := len(ledger(t, c, a, ref, false)) == 1; sees != strings.Contains(tt.sees, role) {
					t.Errorf("%s sees it: %v", role, sees)
				}
				if role == "read" {
					continue // the route asks for submit
				}
				_, err := c.CorrectThrow(ctx, a, ref, lines[0].ID, []byte(tt.to))
				if may := err == nil; may != strings.Contains(tt.may, role) || !may && !errors.Is(err, club.ErrNotAllowed) {
					t.Errorf("%s corrects it: %v", role, err)
				}
				other := ref + "-w"
				lines, _ = enter(t, c, admin, other, tt.entry)
				err = c.WithdrawThrow(ctx, a, other, lines[0].ID)
				if may := err == nil; may != strings.Contains(tt.withdraw, role) || !may && !errors.Is(err, club.ErrNotAllowed) {
					t.Errorf("%s takes it back: %v", role, err)
				}
				if left := len(ledger(t, c, admin, other, false)); (left == 0) != (err == nil) {
					t.Errorf("%s took it back (%v), %d are left", role, err, left)
				}
				if err := c.WithdrawThrow(ctx, a, "P-9", lines[0].ID); !errors.Is(err, store.ErrNotFound) {
					t.Errorf("%s takes back an entry of another player: %v", role, err)
				}
			}
		})
	}
}

// Notes and pain are no business of small roles; that large ones saw them is
// logged, by the surrogate.
func TestHealthReads(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, spring)
		admin, edit, submit, read := member(t, c, "North", "admin"), member(t, c, "North", "edit"), member(t, c, "North", "submit"), member(t, c, "North", "read")
		enter(t, c, admin, "P-1", `[{"date": "2026-05-02", "kind": "pitches", "count": 43, "pain": "elbow", "note": "sore"}, {"date": "2026-05-03", "kind": "pain"}]`)
		enter(t, c, admin, "P-2", `[{"date": "2026-05-02", "kind": "pitches", "count": 43}]`)
		p := store.Player{Ref: "P-1", Age: ptr(12)}
		for _, ref := range []string{"P-1", "P-2"} {
			p.Ref = ref
			if _, _, err := c.PutPlayer(ctx, admin, p, always); err != nil {
				t.Fatal(err)
			}
		}
		for role, a := range map[string]club.Actor{"read": read, "submit": submit} {
			if diff := cmp.Diff([]string{"2026-05-02 pitches 43"}, ledger(t, c, a, "P-1", false)); diff != "" {
				t.Errorf("%s: found + and not -:\n%s", role, diff)
			}
			w, err := c.Workload(ctx, a, "P-1", "2026-05-10", "")
			if text := fmt.Sprintf("%+v", w); err != nil || strings.Contains(text, "pain") || strings.Contains(text, "elbow") {
				t.Errorf("%s: %v, %s", role, err, text)
			}
			if w.Throwing.Answer != "no" || w.Cautions[0].Code != "caution-applies" {
				t.Errorf("%s does not learn that a caution applies: %+v", role, w.Cautions)
			}
		}
		if n := reads(t, c, admin); n != 0 {
			t.Errorf("%d reads logged of those who saw nothing", n)
		}
		ledger(t, c, edit, "P-2", false)
		if n := reads(t, c, admin); n != 0 {
			t.Errorf("%d reads logged where there was nothing to see", n)
		}
		ledger(t, c, edit, "P-1", false)
		if _, err := c.Workload(ctx, edit, "P-1", "2026-05-10", ""); err != nil {
			t.Fatal(err)
		}
		if n := reads(t, c, admin); n != 2 {
			t.Errorf("%d of 2 reads logged", n)
		}
	})
}

// reads counts the reads of health entries in the log.
func reads(t testing.TB, c *club.Clubs, a club.Actor) (n int) {
	t.Helper()
	l, err := c.Changes(ctx, a, "", 1000)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range l.Items {
		if strings.Contains(e.Entity+string(e.Detail), "P-1") {
			t.Errorf("the log names a player: %+v", e)
		}
		if e.What == "health.read" {
			n++
		}
	}
	return n
}

// Reps in which the ball was let go are throws; a correction of the
// observation replaces them, a re-assessment leaves them.
func TestAssessedThrows(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, spring)
		a := member(t, c, "North", "admin")
		dry := `{"rep": 3, "conditions": {"ball": "dry"}, "measures": {"stride_off_line": 9}}`
		held := `{"rep": 4, "conditions": {"thrown": false}, "measures": {"stride_off_line": 9}}`
		send := func(docs ...string) {
			submit(t, c, a, club.NDJSON(strings.NewReader(strings.Join(docs, "\n"))), nil)
		}
		send(doc("P-1", s1, rep(1, 12), rep(2, 12), dry, held))
		if diff := cmp.Diff([]string{"2026-05-09 base-throws 3 assessed"}, ledger(t, c, a, "P-1", false)); diff != "" {
			t.Errorf("found + and not -:\n%s", diff)
		}
		send(doc("P-1", s1, rep(5, 12)), doc("P-1", s1, rep(1, 4)), doc("P-1", s1, rep(1, 4)))
		if diff := cmp.Diff([]string{"2026-05-09 base-throws 4 assessed"}, ledger(t, c, a, "P-1", false)); diff != "" {
			t.Errorf("corrected, found + and not -:\n%s", diff)
		}
		if n := len(ledger(t, c, a, "P-1", true)); n != 3 {
			t.Errorf("%d entries with corrected ones", n)
		}
		throws, err := c.Throws(ctx, a, "P-1", "", "", false)
		if err != nil {
			t.Fatal(err)
		}
		if err := c.WithdrawThrow(ctx, a, "P-1", throws[0].ID); !errors.Is(err, club.ErrAssessed) {
			t.Errorf("taken back by hand: %v", err)
		}
		blocking := strings.Replace(doc("P-2", "", `{"rep": 1, "measures": {}}`), "throw-to-second", "blocking", 1)
		send(blocking)
		if l := ledger(t, c, a, "P-2", false); l != nil {
			t.Errorf("a blocked ball is no throw: %v", l)
		}
	})
}

// Nothing that a small key reads tells that health entries are there, or were:
// no entry that took the place of one, no last day of the record, no word.
func TestHealthLeavesNoTrace(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, spring)
		admin := member(t, c, "North", "admin")
		lines, _ := enter(t, c, admin, "P-1", `[{"date": "2026-05-02", "kind": "pitches", "count": 43}, {"date": "2026-05-03", "kind": "pain", "note": "elbow"}, {"date": "2026-05-04", "kind": "tired"},
			{"date": "2026-05-05", "kind": "head-or-chest-blow"}, {"date": "2026-05-06", "kind": "cleared", "note": "physician"}, {"date": "2026-05-01", "kind": "bullpen", "count": 9}]`)
		if err := c.WithdrawThrow(ctx, admin, "P-1", lines[1].ID); err != nil {
			t.Fatal(err)
		}
		for i, entry := range map[int]string{2: `{"date": "2026-05-04", "kind": "bullpen", "count": 20}`, 5: `{"date": "2026-05-01", "kind": "tired"}`} {
			if _, err := c.CorrectThrow(ctx, admin, "P-1", lines[i].ID, []byte(entry)); err != nil {
				t.Fatal(err)
			}
		}
		if _, _, err := c.PutPlayer(ctx, admin, store.Player{Ref: "P-1", Age: ptr(12)}, always); err != nil {
			t.Fatal(err)
		}
		if _, _, err := c.PutGroup(ctx, admin, "catchers", []string{"P-1"}, anyBase); err != nil {
			t.Fatal(err)
		}
		for _, role := range []string{"read", "submit"} {
			a := member(t, c, "North", role)
			plan, err := c.PlanGroup(ctx, a, "catchers", club.PracticeAsked{Practice: club.PracticeTime{Minutes: 60, Turn: 12}})
			if err != nil || plan.Members[0].AsRecordedTo.String() != "2026-05-04" {
				t.Errorf("%s reads a plan as recorded to %v, %v", role, plan.Members[0].AsRecordedTo, err)
			}
			for _, from := range []string{"", "2026-05-04"} {
				throws, err := c.Throws(ctx, a, "P-1", from, "", true)
				if err != nil || len(throws) == 0 {
					t.Fatalf("%d entries, %v", len(throws), err)
				}
				for _, e := range throws {
					if e.Supersedes != nil || e.SupersededBy != nil || e.Kind == "withdrawn" {
						t.Errorf("%s sees %+v", role, e)
					}
				}
			}
			for _, day := range []string{"", "2026-05-03", "2026-05-05"} {
				w, err := c.Workload(ctx, a, "P-1", day, "30")
				text, _ := json.Marshal(w)
				if err != nil {
					t.Fatal(err)
				}
				for _, word := range []string{"pain", "elbow", "tired", "blow", "clear", "physician", "hurt", "2026-05-06"} {
					if strings.Contains(strings.ReplaceAll(string(text), workload.Standing.Says, ""), word) && !(word == "2026-05-06" && day != "") {
						t.Errorf("%s reads %q of %s: %s", role, word, day, text)
					}
				}
				if day == "" && (w.AsRecordedTo == nil || w.AsRecordedTo.String() != "2026-05-04") {
					t.Errorf("as recorded to %v, wanted the last day this key sees", w.AsRecordedTo)
				}
			}
		}
	})
}
