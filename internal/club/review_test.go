package club_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/engine"
	"rootcue/internal/club"
	"rootcue/internal/store"
)

// reviewable submits one observation with several faults and gives the
// assessment's id.
func reviewable(t testing.TB, c *club.Clubs, a club.Actor, ref, on string) string {
	t.Helper()
	reps := `{"rep": 1, "measures": {"stride_off_line": 25, "feet_lag": 0.3, "exchange_time": 1.4, "transfer_height": -0.3}}, {"rep": 2, "measures": {"stride_off_line": 26, "feet_lag": 0.3, "exchange_time": 1.4, "transfer_height": -0.3}}`
	d := strings.Replace(doc(ref, "", reps), "2026-05-09", on, 1)
	lines, _ := submit(t, c, a, club.NDJSON(strings.NewReader(d)), nil)
	if lines[0].Assessment == "" {
		t.Fatalf("found %+v", lines)
	}
	return lines[0].Assessment
}

// workOn lists the faults of work_on with their drills, and the cautions that
// are no notes.
func workOn(t testing.TB, body []byte) (faults []string, cues map[string]string, drills map[string][]string) {
	t.Helper()
	var doc struct {
		WorkOn   []engine.WorkOn `json:"work_on"`
		Cautions []any           `json:"cautions"`
	}
	if err := json.Unmarshal(body, &doc); err != nil || len(doc.Cautions) == 0 {
		t.Fatalf("%v, %d cautions", err, len(doc.Cautions))
	}
	cues, drills = map[string]string{}, map[string][]string{}
	for _, w := range doc.WorkOn {
		faults, cues[w.Fault] = append(faults, w.Fault), w.Cue
		for _, d := range w.Drills {
			drills[w.Fault] = append(drills[w.Fault], d.Drill)
		}
	}
	return faults, cues, drills
}

func TestReview(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, spring)
		a := member(t, c, "North", "edit")
		id := reviewable(t, c, a, "P-1", "2026-05-09")
		none, err := c.Review(ctx, a, id)
		if err != nil || none.Revision != 0 || none.Released {
			t.Fatalf("before any: %+v, %v", none, err)
		}
		faults, _, _ := workOn(t, none.Engine)
		if len(faults) != 3 {
			t.Fatalf("to work on: %v", faults)
		}
		r, err := c.PutReview(ctx, a, id, club.Review{
			SetAside: []club.SetAside{{Fault: faults[0], Reason: "the camera stood askew"}},
			Dropped:  []club.SetAside{{Fault: faults[1], Reason: "later"}},
			Cues:     []club.CueSwap{{Fault: faults[2], Cue: "Softly", Drills: []string{"grip-find"}}}, Note: "Good work.",
		}, false, 0)
		if err != nil || r.Revision != 1 || r.Released {
			t.Fatalf("found %+v, %v", r, err)
		}
		if again, _, _ := workOn(t, r.Engine); !slices.Equal(again, faults) {
			t.Errorf("the engine's view changed to %v", again)
		}
		left, cues, drills := workOn(t, r.Instructor)
		if !slices.Equal(left, faults[2:]) || cues[faults[2]] != "Softly" || !slices.Equal(drills[faults[2]], []string{"grip-find"}) {
			t.Errorf("the instructor's view: %v %v %v", left, cues, drills)
		}
		if _, err := c.PutReview(ctx, a, id, club.Review{}, true, 0); !errors.Is(err, club.ErrChanged) {
			t.Errorf("built on an older revision: %v", err)
		}
		if r, err = c.PutReview(ctx, a, id, club.Review{}, true, 1); err != nil || r.Revision != 2 || !r.Released {
			t.Errorf("released: %+v, %v", r, err)
		}
		for name, bad := range map[string]club.Review{
			"/set_aside/0/fault": {SetAside: []club.SetAside{{Fault: "no-such", Reason: "x"}}},
			"/dropped/0/fault":   {Dropped: []club.SetAside{{Fault: "poor-grip", Reason: "x"}}},
			"/cues/0/drills/0":   {Cues: []club.CueSwap{{Fault: faults[0], Drills: []string{"no-such"}}}},
		} {
			var refusal *club.Refusal
			if _, err := c.PutReview(ctx, a, id, bad, false, 2); !errors.As(err, &refusal) || refusal.Slips[0].Pointer != name {
				t.Errorf("%s: %v", name, err)
			}
		}
		if _, err := c.Review(ctx, member(t, c, "South", "admin"), id); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("another club's: %v", err)
		}
	})
}

// What an instructor swaps in passes the gate of the day like everything else.
func TestSwappedDrillPassesTheGate(t *testing.T) {
	c := embedded(t)
	at(t, c, spring)
	a := member(t, c, "North", "edit")
	id := reviewable(t, c, a, "P-1", "2026-05-09")
	none, err := c.Review(ctx, a, id)
	if err != nil {
		t.Fatal(err)
	}
	faults, _, _ := workOn(t, none.Engine)
	put := func(base int) club.Reviewed {
		r, err := c.PutReview(ctx, a, id, club.Review{Cues: []club.CueSwap{{Fault: faults[0], Drills: []string{"knee-throws"}}}}, false, base)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	if _, _, drills := workOn(t, put(0).Instructor); !slices.Equal(drills[faults[0]], []string{"knee-throws"}) {
		t.Fatalf("swapped in: %v", drills)
	}
	enter(t, c, a, "P-1", `[{"date": "2026-05-10", "kind": "tired"}]`)
	if left, _, drills := workOn(t, put(1).Instructor); slices.Contains(left, faults[0]) {
		t.Errorf("a throwing drill for a tired arm: %v %v", left, drills)
	}
	enter(t, c, a, "P-1", `[{"date": "2026-05-10", "kind": "pain"}]`)
	if left, _, _ := workOn(t, put(2).Instructor); len(left) != 0 {
		t.Errorf("corrections in spite of pain: %v", left)
	}
}

// A link opens when the assessment is released, until it ends, is revoked or
// the assessment is replaced; another club cannot make one.
func TestLinks(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, spring)
		a := member(t, c, "North", "edit")
		id := reviewable(t, c, a, "P-1", "2026-05-09")
		if _, _, err := c.AddLink(ctx, a, id, 30); !errors.Is(err, club.ErrNotReleased) {
			t.Fatalf("not released: %v", err)
		}
		if _, err := c.PutReview(ctx, a, id, club.Review{Note: "Good work."}, true, 0); err != nil {
			t.Fatal(err)
		}
		l, token, err := c.AddLink(ctx, a, id, 30)
		if err != nil {
			t.Fatal(err)
		}
		opens := func(token string) bool {
			r, err := c.OpenLink(ctx, token)
			if err != nil && !errors.Is(err, store.ErrNotFound) {
				t.Fatal(err)
			}
			return err == nil && r.Assessment.ID == id && r.Review.Note == "Good work." && r.Released && len(r.Assessment.Cautions) > 0
		}
		if !opens(token) {
			t.Error("it does not open")
		}
		for _, bad := range []string{"", token[1:], token + "A", flipLast(token), strings.Repeat("A", len(token)), "../../x"} {
			if opens(bad) {
				t.Errorf("%q opens", bad)
			}
		}
		at(t, c, "2026-06-09T14:00:00Z")
		if !opens(token) {
			t.Error("it is over before its day")
		}
		at(t, c, "2026-06-09T15:01:00Z")
		if opens(token) {
			t.Error("it opens after its day")
		}
		at(t, c, spring)
		if _, _, err := c.AddLink(ctx, member(t, c, "South", "admin"), id, 30); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("another club makes one: %v", err)
		}
		if err := c.RevokeLink(ctx, a, l.ID); err != nil || opens(token) {
			t.Errorf("revoked: %v", err)
		}
		_, token, err = c.AddLink(ctx, a, id, 1)
		if err != nil || !opens(token) {
			t.Fatalf("a second one: %v", err)
		}
		if _, err := c.PutReview(ctx, a, id, club.Review{Note: "Good work."}, false, 1); err != nil || opens(token) {
			t.Errorf("it opens though not released any more (%v)", err)
		}
	})
}

func flipLast(s string) string {
	if last := s[len(s)-1]; last != 'A' {
		return s[:len(s)-1] + "A"
	}
	return s[:len(s)-1] + "E"
}

// What was released is handed out once; the same in three sessions running
// without a real change asks for another drill.
func TestCues(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, spring)
		a := member(t, c, "North", "edit")
		for i, on := range []string{"2026-05-01", "2026-05-05", "2026-05-09"} {
			id := reviewable(t, c, a, "P-1", on)
			for base := range 2 {
				if _, err := c.PutReview(ctx, a, id, club.Review{}, true, base); err != nil {
					t.Fatal(err)
				}
			}
			cues, notes, err := c.Cues(ctx, a, "P-1")
			if err != nil || len(cues) == 0 || len(cues)%(i+1) != 0 {
				t.Fatalf("%d cues after %d sessions, %v", len(cues), i+1, err)
			}
			if (len(notes) > 0) != (i == 2) {
				t.Errorf("after %d sessions: %+v", i+1, notes)
			}
		}
		cues, notes, err := c.Cues(ctx, a, "P-1")
		if err != nil || cues[0].HandedOn != "2026-05-10" || cues[0].DoneOn != nil {
			t.Fatalf("found %+v, %v", cues[0], err)
		}
		if !slices.ContainsFunc(notes, func(n club.CueNote) bool {
			return n.Code == "try-another-drill" && n.Fault == "stride-off-line" && n.Says != ""
		}) {
			t.Errorf("found %+v", notes)
		}
		if err := c.MarkCue(ctx, a, "P-1", cues[0].ID, ptr("2026-05-10")); err != nil {
			t.Fatal(err)
		}
		if again, _, _ := c.Cues(ctx, a, "P-1"); again[0].DoneOn == nil || *again[0].DoneOn != "2026-05-10" {
			t.Errorf("found %+v", again[0])
		}
		if err := c.MarkCue(ctx, a, "P-2", cues[0].ID, nil); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("another player's: %v", err)
		}
		var refusal *club.Refusal
		if err := c.MarkCue(ctx, a, "P-1", cues[0].ID, ptr("2026-13-01")); !errors.As(err, &refusal) {
			t.Errorf("a date that is none: %v", err)
		}
	})
}

// Where no instructor speaks first, what is submitted is handed out at once.
func TestWithoutReviewFirst(t *testing.T) {
	c := embedded(t)
	at(t, c, spring)
	a := member(t, c, "North", "admin")
	settings(t, c, a, func(s *club.Settings) { s.ReviewFirst = false })
	id := reviewable(t, c, a, "P-1", "2026-05-09")
	if cues, _, err := c.Cues(ctx, a, "P-1"); err != nil || len(cues) == 0 {
		t.Errorf("%d cues, %v", len(cues), err)
	}
	if _, _, err := c.AddLink(ctx, a, id, 1); err != nil {
		t.Error(err)
	}
}

// The report is under the gate of the day on which it is shown, and shows the
// instructor's drills.
func TestReport(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, spring)
		a := member(t, c, "North", "edit")
		first := reviewable(t, c, a, "P-1", "2026-05-01")
		id := reviewable(t, c, a, "P-1", "2026-05-09")
		r, err := c.Report(ctx, a, id)
		if err != nil || len(r.Assessment.WorkOn) != 3 || r.Review != nil || r.Club != "North" || len(r.Since) == 0 || r.BandChanged {
			t.Fatalf("found %+v, %v", r, err)
		}
		if r, err := c.Report(ctx, a, first); err != nil || len(r.Since) != 0 {
			t.Errorf("the first one says that something changed: %+v, %v", r.Since, err)
		}
		enter(t, c, a, "P-1", `[{"date": "2026-05-10", "kind": "pain"}]`)
		r, err = c.Report(ctx, a, id)
		if err != nil || len(r.Assessment.WorkOn) != 0 || r.Assessment.Cautions[0].Code != "pain-reported" {
			t.Errorf("after pain: %+v, %v", r.Assessment.WorkOn, err)
		}
		limited, err := c.Report(ctx, member(t, c, "North", "read"), id)
		if err != nil || limited.Assessment.Cautions[0].Code != "caution-applies" || limited.Assessment.Player.StatureM.Known() || strings.Contains(fmt.Sprint(limited.Assessment.Cautions), "pain") {
			t.Errorf("for role read: %+v, %v", limited.Assessment.Cautions, err)
		}
	})
}

// A replay gives the same bytes under whatever gate the assessment was made.
func TestReplayUnderAGate(t *testing.T) {
	c := embedded(t)
	at(t, c, spring)
	a := member(t, c, "North", "edit")
	for i, entries := range []string{`[]`, `[{"date": "2026-05-09", "kind": "tired"}]`, `[{"date": "2026-05-08", "kind": "pain"}]`, `[{"date": "2026-05-09", "kind": "head-or-chest-blow"}]`, `[{"date": "2026-05-08", "kind": "pitches", "count": 70}]`} {
		ref := fmt.Sprint("P-", i)
		if entries != "[]" {
			enter(t, c, a, ref, entries)
		}
		id := reviewable(t, c, a, ref, "2026-05-09")
		enter(t, c, a, ref, `[{"date": "2026-05-10", "kind": "pain"}]`)
		r, err := c.Replay(ctx, a, id)
		if diff := cmp.Diff(string(r.Stored), string(r.Again)); err != nil || !r.Same {
			t.Errorf("%s: %v, found + and not -:\n%s", entries, err, diff)
		}
	}
}

// A session that comes in rep by rep, and is corrected and judged anew, is one
// session: its corrections are handed out once, and nobody is told that they did
// not help in three.
func TestCuesOfOneSession(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, "2026-05-09T12:00:00Z")
		a := member(t, c, "Harbour", "admin")
		settings(t, c, a, func(s *club.Settings) { s.ReviewFirst = false })
		count := func(when string) {
			t.Helper()
			cues, notes, err := c.Cues(ctx, a, "P-1")
			of := map[string]int{}
			for _, q := range cues {
				of[q.Fault+" "+q.Drill]++
			}
			for cue, n := range of {
				if n != 1 {
					t.Errorf("%s: %s was handed out %d times", when, cue, n)
				}
			}
			if err != nil || len(cues) == 0 || len(notes) > 0 {
				t.Errorf("%s: %d cues, notes %+v, %v", when, len(cues), notes, err)
			}
		}
		for n := range 4 {
			submit(t, c, a, club.NDJSON(strings.NewReader(doc("P-1", s1, rep(n+1, 20)))), nil)
		}
		count("rep by rep")
		at(t, c, "2026-05-10T12:00:00Z")
		for _, limit := range []float64{12.5, 12, 12.5} {
			v := edit(t, c, a, "stride-off-line", limit)
			if n, err := reassessed(c, a, v.Document.Version); err != nil || n.Done != 1 {
				t.Fatalf("re-assessed %+v, %v", n, err)
			}
			rows, err := c.Assessments(ctx, a, store.AssessmentFilter{}, "", 10)
			if err != nil {
				t.Fatal(err)
			}
			var is struct{ ID string }
			if err := json.Unmarshal(rows.Items[0], &is); err != nil {
				t.Fatal(err)
			}
			if _, err := c.PutReview(ctx, a, is.ID, club.Review{}, true, 0); err != nil {
				t.Fatal(err)
			}
		}
		if _, notes, err := c.Cues(ctx, a, "P-1"); err != nil || len(notes) > 0 {
			t.Errorf("released three times: notes %+v, %v", notes, err)
		}
	})
}
