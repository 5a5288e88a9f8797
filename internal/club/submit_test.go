package club_test

import (
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/engine/observation"
	"rootcue/internal/club"
	"rootcue/internal/store"
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
		{"a rep of a session corrected and back", []string{doc("P-1", s1, rep(1, 12)), doc("P-1", s1, rep(2, 12)), doc("P-1", s1, rep(2, 4)), doc("P-1", s1, rep(2, 12))}, []string{"1 stored", "2 stored", "3 corrected", "4 corrected"}, []string{"2"}},
		{"the first rep of a session corrected and back", []string{doc("P-1", s1, rep(1, 12)), doc("P-1", s1, rep(1, 4)), doc("P-1", s1, rep(1, 12))}, []string{"1 stored", "2 corrected", "3 corrected"}, []string{"1"}},
		{"another rater", []string{doc("P-1", s1+`, "rater": "E1"`, rep(1, 12)), doc("P-1", s1+`, "rater": "E2"`, rep(1, 12))}, []string{"1 stored", "2 stored"}, []string{"1", "1"}},
		{"the year's end out of order", []string{strings.Replace(doc("P-1", "", rep(1, 12)), "2026-05", "2026-12", 1), doc("P-1", "", rep(1, 12))}, []string{"1 stored", "2 stored"}, []string{"1", "1"}},
		{"bad among good", []string{doc("P-1", "", rep(1, 12)), `{"x": 1}`, "", "nonsense", doc("P-2", "", rep(1, 12))}, []string{"1 stored", "2 refused", "4 refused", "5 stored"}, []string{"1", "1"}},
		{"NUL in a reference", []string{strings.Replace(doc("P-1", "", rep(1, 12)), "P-1", `P-\u0000`, 1)}, []string{"1 refused"}, nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			each(t, func(t *testing.T, c *club.Clubs) {
				a := member(t, c, "North", "submit")
				lines, _ := submit(t, c, a, club.NDJSON(strings.NewReader(strings.Join(tt.docs, "\n"))), nil)
				if diff := cmp.Diff(tt.want, statuses(lines)); diff != "" {
					t.Errorf("found + and not -:\n%s\n%v", diff, lines)
				}
				var reps []string
				view(t, c, a, func(tx store.Tx) error {
					rows, err := tx.Assessments(ctx, store.AssessmentFilter{}, store.Page{})
					for _, row := range rows {
						_, rest, _ := strings.Cut(string(row.Body), `"reps":`)
						reps = append(reps, rest[:1])
					}
					return err
				})
				if diff := cmp.Diff(tt.reps, reps); diff != "" {
					t.Errorf("reps of the assessments, found + and not -:\n%s", diff)
				}
			})
		})
	}
}

// What was corrected is kept: the old document, its assessment, and the way
// from one to the other. The log names both.
func TestCorrectionsAreKept(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		a := member(t, c, "Harbour", "submit")
		lines, _ := submit(t, c, a, club.NDJSON(strings.NewReader(doc("P-1", "", rep(1, 20))+"\n"+doc("P-1", "", rep(1, 2)))), nil)
		old, err := c.Observation(ctx, a, lines[0].Observation)
		if err != nil || old.SupersededBy == nil || *old.SupersededBy != lines[1].Observation || len(old.Assessments) != 1 || old.Assessments[0].Status != store.Old {
			t.Errorf("the old one: %+v, %v", old, err)
		}
		now, err := c.Observation(ctx, a, lines[1].Observation)
		if err != nil || now.Supersedes == nil || *now.Supersedes != lines[0].Observation || now.Assessments[0].Status != store.Current {
			t.Errorf("the new one: %+v, %v", now, err)
		}
		log, err := c.Changes(ctx, a, "", 2)
		if err != nil || log.Items[0].What != "observation.corrected" || log.Items[1].Entity != "observation/"+lines[0].Observation || log.Items[0].Who != a.KeyID {
			t.Errorf("the log: %+v, %v", log.Items, err)
		}
		again, _ := submit(t, c, a, club.NDJSON(strings.NewReader(doc("P-1", "", rep(1, 20)))), nil)
		if again[0].Status != club.Same || again[0].Observation != lines[1].Observation || again[0].Assessment != lines[1].Assessment {
			t.Errorf("the old document again is answered %+v, wanted what replaced it: %+v", again[0], lines[1])
		}
	})
}

// Conditions of a document hold for its own reps, also when more are added.
func TestSessionKeepsConditions(t *testing.T) {
	c := embedded(t)
	a := member(t, c, "Harbour", "submit")
	one := doc("P-1", s1+`, "conditions": {"batter": "none"}`, rep(1, 20))
	two := doc("P-1", s1+`, "conditions": {"batter": "right"}`, rep(2, 20))
	lines, _ := submit(t, c, a, club.NDJSON(strings.NewReader(one+"\n"+two)), nil)
	o, err := c.Observation(ctx, a, lines[1].Observation)
	if err != nil {
		t.Fatal(err)
	}
	const want = `"reps":[{"conditions":{"batter":"none"},"measures":{"stride_off_line":20},"rep":1},{"conditions":{"batter":"right"},"measures":{"stride_off_line":20},"rep":2}]`
	if !strings.Contains(string(o.Input), want) {
		t.Errorf("found %s, wanted %s", o.Input, want)
	}
}

// Two clubs send the very same document; each has its own.
func TestClubsApart(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		one, two := member(t, c, "Harbour", "submit"), member(t, c, "Hillside", "submit")
		mine, _ := submit(t, c, one, club.NDJSON(strings.NewReader(doc("P-1", "", rep(1, 20)))), nil)
		theirs, _ := submit(t, c, two, club.NDJSON(strings.NewReader(doc("P-1", "", rep(1, 20)))), nil)
		if theirs[0].Status != club.Stored || theirs[0].Observation == mine[0].Observation {
			t.Errorf("found %+v after %+v", theirs, mine)
		}
		if _, _, err := c.Assessment(ctx, two, mine[0].Assessment); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("another club's assessment: %v", err)
		}
		if _, err := c.Observation(ctx, two, mine[0].Observation); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("another club's observation: %v", err)
		}
	})
}

// Many submit at once, of one session each rep: none is lost, and the
// observation holds them all.
func TestManyAtOnce(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		a := member(t, c, "Harbour", "submit")
		var wg sync.WaitGroup
		for n := 1; n <= 8; n++ {
			wg.Go(func() {
				done, err := c.Submit(ctx, a, club.NDJSON(strings.NewReader(doc("P-1", s1, rep(n, 20)))), func([]club.Line) error { return nil })
				if err != nil || done.Stored != 1 {
					t.Errorf("rep %d: %+v, %v", n, done, err)
				}
			})
		}
		wg.Wait()
		for _, body := range bodies(t, c, a) {
			if !strings.Contains(body, `"reps":8,`) {
				t.Errorf("the assessment is of fewer reps: %.200s", body)
			}
		}
		if v, err := c.Verify(ctx); err != nil || v[0].Broken != nil {
			t.Errorf("the log: %+v, %v", v, err)
		}
	})
}

// A document, and a session with all that joins it, has so many reps at most; who
// sends too many is told of the one that is, or that the session is full.
func TestMostReps(t *testing.T) {
	c := embedded(t)
	a := member(t, c, "Harbour", "submit")
	send := func(from, n int) []club.Line {
		reps := make([]string, n)
		for i := range reps {
			reps[i] = rep(from+i, 8)
		}
		src, _, err := club.JSON([]byte(doc("P-1", s1, reps...)))
		lines, _ := submit(t, c, a, src, err)
		return lines
	}
	if l := send(1, observation.MostReps+1); l[0].Status != club.Refused || len(l[0].Slips) != 1 || l[0].Slips[0].Pointer != "/reps/1000" {
		t.Errorf("found %+v", l)
	}
	if l := send(1, observation.MostReps); l[0].Status != club.Stored {
		t.Errorf("found %+v", l)
	}
	if l := send(observation.MostReps+1, 1); l[0].Status != club.Refused || len(l[0].Slips) != 1 || l[0].Slips[0].Wanted != "at most 1000 in a session" {
		t.Errorf("found %+v", l)
	}
	if l := send(3, 1); l[0].Status != club.Same {
		t.Errorf("found %+v", l)
	}
}
