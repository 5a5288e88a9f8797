package storetest

import (
	"cmp"
	"fmt"
	"slices"
	"testing"

	"rootcue/internal/store"
)

func reassessment(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	first := save(t, s, club, Sub("P-1", "2026-05-09", "one"))[0]
	var second store.Assessment
	do(t, s, club, func(tx store.Tx) {
		second = must(tx.Reassess(ctx, store.Assessment{
			ObservationID: first.Observation.ID, RubricVersion: 2, Body: store.Body(`{"v":2}`),
		}, []store.Verdict{{Fault: "late-feet", Verdict: "close"}}))(t)
	})
	same(t, []string{second.PlayerRef, second.On, second.Status}, []string{"P-1", "2026-05-09", store.Current})
	ids := func(f store.AssessmentFilter) (ids []string) {
		see(t, s, club, func(tx store.Tx) { ids = walk(t, tx, f, 10) })
		return ids
	}
	same(t, ids(store.AssessmentFilter{}), []string{second.ID})
	both := []string{first.Assessment.ID, second.ID}
	slices.Sort(both)
	slices.Reverse(both)
	same(t, ids(store.AssessmentFilter{Old: true}), both)
	same(t, ids(store.AssessmentFilter{ObservationID: first.Observation.ID, Old: true, Version: 1}), []string{first.Assessment.ID})
	same(t, ids(store.AssessmentFilter{Fault: "late-feet", Verdict: "fault"}), []string(nil))
	same(t, ids(store.AssessmentFilter{Fault: "late-feet", Verdict: "close"}), []string{second.ID})
	see(t, s, club, func(tx store.Tx) { // an old assessment stays as it was
		was := must(tx.Assessment(ctx, first.Assessment.ID))(t)
		first.Assessment.Status = store.Old
		same(t, was, first.Assessment)
	})
	fails(t, s, club, store.ErrNotFound, func(tx store.Tx) error {
		_, err := tx.Reassess(ctx, store.Assessment{ObservationID: "none"}, nil)
		return err
	})
}

func filters(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	var tryout store.Tryout
	do(t, s, club, func(tx store.Tx) { tryout = must(tx.AddTryout(ctx, store.Tryout{Name: "Spring"}))(t) })
	row := func(player, rubric, on, session, rater string, of *string) store.Submission {
		sub := Sub(player, on, player+rubric+on+session+rater)
		sub.Observation.Rubric, sub.Observation.Session, sub.Observation.Rater, sub.Observation.TryoutID = rubric, session, rater, of
		return sub
	}
	saved := save(t, s, club,
		row("P-1", "throw", "2026-05-01", "a", "E1", nil),
		row("P-1", "block", "2026-05-02", "a", "E2", &tryout.ID),
		row("P-2", "throw", "2026-05-03", "", "E1", &tryout.ID),
		row("P-2", "throw", "2026-05-04", "b", "", nil),
	)
	name := map[string]int{}
	for i, sub := range saved {
		name[sub.Observation.ID], name[sub.Assessment.ID] = i, i
	}
	for _, c := range []struct {
		o    store.ObservationFilter
		a    store.AssessmentFilter
		want []int
	}{
		{store.ObservationFilter{}, store.AssessmentFilter{}, []int{3, 2, 1, 0}},
		{store.ObservationFilter{Player: "P-1"}, store.AssessmentFilter{Player: "P-1"}, []int{1, 0}},
		{store.ObservationFilter{Rubric: "throw"}, store.AssessmentFilter{Rubric: "throw"}, []int{3, 2, 0}},
		{store.ObservationFilter{Session: "a"}, store.AssessmentFilter{Session: "a"}, []int{1, 0}},
		{store.ObservationFilter{From: "2026-05-02", To: "2026-05-03"}, store.AssessmentFilter{From: "2026-05-02", To: "2026-05-03"}, []int{2, 1}},
		{store.ObservationFilter{Player: "P-2", Session: "b"}, store.AssessmentFilter{Player: "P-2", Session: "b"}, []int{3}},
		{store.ObservationFilter{Rater: "E1"}, store.AssessmentFilter{Rubric: "throw", To: "2026-05-03"}, []int{2, 0}},
		{store.ObservationFilter{TryoutID: tryout.ID}, store.AssessmentFilter{From: "2026-05-02", To: "2026-05-03", Fault: "late-feet", Verdict: "fault"}, []int{2, 1}},
		{store.ObservationFilter{Player: "P-3"}, store.AssessmentFilter{Fault: "late-feet", Verdict: "sound"}, nil},
		{store.ObservationFilter{Player: "P-1", Rubric: "block"}, store.AssessmentFilter{Player: "P-1", Rubric: "block", Fault: "tall-set", Verdict: "sound"}, []int{1}},
	} {
		t.Run(fmt.Sprintf("%+v %+v", c.o, c.a), func(t *testing.T) {
			see(t, s, club, func(tx store.Tx) {
				var found []int
				for _, o := range must(tx.Observations(ctx, c.o, store.Page{}))(t) {
					found = append(found, name[o.ID])
				}
				same(t, found, c.want)
				found = nil
				for _, id := range walk(t, tx, c.a, 10) {
					found = append(found, name[id])
				}
				same(t, found, c.want)
			})
		})
	}
}

// pages come in order, without gap or repeat, whatever is written meanwhile.
func pages(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	var subs []store.Submission
	for i := range 60 { // many of one date: the id decides there
		subs = append(subs, Sub("P-1", fmt.Sprintf("2026-05-%02d", 1+i/20), fmt.Sprintf("p%d-", i)))
	}
	save(t, s, club, subs...)
	for _, f := range []store.AssessmentFilter{
		{}, {Player: "P-1"}, {Rubric: "throw-to-second"}, {Session: "spring"}, {Fault: "late-feet", Verdict: "fault"},
		{From: "2026-05-01", To: "2026-05-03"}, {Old: true, To: "2027-01-01"},
	} {
		see(t, s, club, func(tx store.Tx) {
			all := walk(t, tx, f, 1000)
			same(t, len(all), 60)
			same(t, walk(t, tx, f, 7), all)
		})
	}
	var first []store.Observation
	see(t, s, club, func(tx store.Tx) {
		first = must(tx.Observations(ctx, store.ObservationFilter{}, store.Page{Limit: 10}))(t)
	})
	save(t, s, club, Sub("P-1", "2026-06-01", "newer"), Sub("P-1", "2026-04-01", "older"))
	see(t, s, club, func(tx store.Tx) {
		rest := must(tx.Observations(ctx, store.ObservationFilter{}, store.Page{After: first[9].Cursor()}))(t)
		same(t, len(rest), 51)
		for _, o := range rest {
			if o.On > first[9].On || o.On == first[9].On && o.ID >= first[9].ID {
				t.Fatalf("%s %s comes after %s %s", o.On, o.ID, first[9].On, first[9].ID)
			}
		}
	})
}

// walk goes through a list page by page, each cursor through its text form.
func walk(t testing.TB, tx store.Tx, f store.AssessmentFilter, limit int) (ids []string) {
	t.Helper()
	at := ""
	for {
		after := must(store.ParseCursor(at))(t)
		page := must(tx.Assessments(ctx, f, store.Page{After: after, Limit: limit}))(t)
		for _, a := range page {
			ids = append(ids, a.ID)
		}
		if len(page) < limit {
			return ids
		}
		at = page[len(page)-1].Cursor().String()
	}
}

func verdicts(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	none := Sub("P-1", "2026-05-09", "none")
	none.Verdicts = nil
	save(t, s, club, none)
	twice := Sub("P-1", "2026-05-09", "twice")
	twice.Verdicts = append(twice.Verdicts, twice.Verdicts[0])
	fails(t, s, club, store.ErrConflict, func(tx store.Tx) error { return tx.Save(ctx, []store.Submission{twice}) })
	see(t, s, club, func(tx store.Tx) {
		same(t, len(walk(t, tx, store.AssessmentFilter{Fault: "late-feet", Verdict: "fault"}, 10)), 0)
		same(t, len(walk(t, tx, store.AssessmentFilter{}, 10)), 1)
	})
}

// Verdicts are found however many came before them and however many came at
// once, and are gone with what replaces their observation.
func manyVerdicts(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	var want []store.Cursor
	keep := func(tx store.Tx, n int) (subs []store.Submission) {
		for range n {
			subs = append(subs, Sub("P-1", fmt.Sprintf("2026-05-%02d", 1+len(want)%28), fmt.Sprint(len(want))))
			want = append(want, store.Cursor{})
		}
		ok(t, tx.Save(ctx, subs))
		for i, sub := range subs {
			want[len(want)-n+i] = sub.Assessment.Cursor()
		}
		return subs
	}
	do(t, s, club, func(tx store.Tx) { ok(t, tx.EnsurePlayers(ctx, "P-1")) })
	for _, n := range []int{3, 70, 60, 60, 60, 60, 60, 5} {
		do(t, s, club, func(tx store.Tx) { keep(tx, n) })
	}
	var ids []string
	slices.SortFunc(want, func(a, b store.Cursor) int { return cmp.Or(cmp.Compare(b.On, a.On), cmp.Compare(b.ID, a.ID)) })
	for _, c := range want {
		ids = append(ids, c.ID)
	}
	listed := func() (ids []string) {
		see(t, s, club, func(tx store.Tx) { ids = walk(t, tx, store.AssessmentFilter{Fault: "late-feet", Verdict: "fault"}, 50) })
		return ids
	}
	same(t, listed(), ids)
	for _, id := range []string{ids[0], ids[len(ids)/2], ids[len(ids)-1]} {
		do(t, s, club, func(tx store.Tx) {
			a := must(tx.Assessment(ctx, id))(t)
			must(tx.Reassess(ctx, store.Assessment{ObservationID: a.ObservationID, Body: store.Body("{}")}, nil))(t)
		})
		ids = slices.DeleteFunc(ids, func(known string) bool { return known == id })
	}
	same(t, listed(), ids)
	do(t, s, club, func(tx store.Tx) { must(tx.ErasePlayer(ctx, "P-1", "k"))(t) })
	same(t, listed(), []string(nil))
}
