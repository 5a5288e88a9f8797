package storetest

import (
	"testing"

	"rootcue/internal/store"
)

func reviews(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	saved := save(t, s, club, Sub("P-1", "2026-05-09", "one"), Sub("P-1", "2026-05-09", "two"))
	a, b := saved[0].Assessment.ID, saved[1].Assessment.ID
	review := func(of string, base int, body string) func(store.Tx) error {
		return func(tx store.Tx) error {
			_, err := tx.AddReview(ctx, store.Review{AssessmentID: of, Body: store.JSON(body), Released: base == 1, Who: "k1"}, base)
			return err
		}
	}
	ok(t, s.InTx(ctx, club, review(a, 0, `{"n":1}`)))
	ok(t, s.InTx(ctx, club, review(a, 1, `{"n":2}`)))
	fails(t, s, club, store.ErrConflict, review(a, 1, `{}`))
	fails(t, s, club, store.ErrConflict, review(b, 1, `{}`))
	fails(t, s, club, store.ErrInvalid, review("none", 0, `{}`))
	fails(t, s, club, store.ErrInvalid, review(b, 0, `{n}`))
	see(t, s, club, func(tx store.Tx) {
		all := must(tx.Reviews(ctx, a))(t)
		same(t, []int{len(all), all[0].Revision, all[1].Revision}, []int{2, 2, 1})
		same(t, []any{string(all[0].Body), all[0].Released, string(all[1].Body), all[1].Released}, []any{`{"n":2}`, true, `{"n":1}`, false})
		same(t, must(tx.LatestReviews(ctx, []string{a, b}))(t), map[string]store.Review{a: all[0]})
		same(t, must(tx.LatestReviews(ctx, nil))(t), map[string]store.Review{})
		same(t, must(tx.Reviews(ctx, b))(t), []store.Review{})
	})
}

func cues(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	a := save(t, s, club, Sub("P-1", "2026-05-09", "one"))[0].Assessment.ID
	out := []store.Cue{
		{PlayerRef: "P-1", AssessmentID: &a, Fault: "late-feet", Drill: "chalk-line-feet", HandedOn: "2026-05-09", Who: "k1"},
		{PlayerRef: "P-1", Fault: "tall-set", Drill: "low-walk", HandedOn: "2026-05-12", Who: "k1"},
	}
	do(t, s, club, func(tx store.Tx) {
		ok(t, tx.AddCues(ctx, out))
		ok(t, tx.MarkCue(ctx, out[0].ID, ptr("2026-05-20")))
	})
	out[0].DoneOn = ptr("2026-05-20")
	list := func() (cues []store.Cue) {
		see(t, s, club, func(tx store.Tx) { cues = must(tx.Cues(ctx, "P-1"))(t) })
		return cues
	}
	same(t, list(), []store.Cue{out[1], out[0]})
	see(t, s, club, func(tx store.Tx) { // by the assessment's rubric; one of no assessment is of none
		rubric := must(tx.Assessment(ctx, a))(t).Rubric
		same(t, must(tx.CuesFor(ctx, rubric, "late-feet"))(t), []store.Cue{out[0]})
		same(t, must(tx.CuesFor(ctx, rubric, "tall-set"))(t), []store.Cue{})
		same(t, must(tx.CuesFor(ctx, "another", "late-feet"))(t), []store.Cue{})
	})
	do(t, s, club, func(tx store.Tx) { ok(t, tx.MarkCue(ctx, out[0].ID, nil)) })
	out[0].DoneOn = nil
	same(t, list(), []store.Cue{out[1], out[0]})
	fails(t, s, club, store.ErrNotFound, func(tx store.Tx) error { return tx.MarkCue(ctx, "none", nil) })
	fails(t, s, club, store.ErrInvalid, func(tx store.Tx) error { return tx.MarkCue(ctx, out[0].ID, ptr("soon")) })
	fails(t, s, club, store.ErrInvalid, func(tx store.Tx) error {
		return tx.AddCues(ctx, []store.Cue{{PlayerRef: "P-9", HandedOn: "2026-05-09"}})
	})
}

func ledger(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	do(t, s, club, func(tx store.Tx) { ok(t, tx.EnsurePlayers(ctx, "P-1", "P-2")) })
	in := []store.Throw{
		{PlayerRef: "P-1", Date: "2026-05-04", Kind: "pitches", Count: ptr(68), CountAtLastBatter: ptr(64), Game: "2", Where: "home", Source: "score sheet", Who: "k1"},
		{PlayerRef: "P-1", Date: "2026-05-02", Kind: "pitches"}, // a count left empty is unknown
		{PlayerRef: "P-1", Date: "2026-05-06", Kind: "pain", Pain: "elbow", Note: "after warm-up"},
		{PlayerRef: "P-2", Date: "2026-05-04", Kind: "bullpen", Count: ptr(0)},
	}
	do(t, s, club, func(tx store.Tx) { ok(t, tx.AddThrows(ctx, in)) })
	list := func(from, to string, all bool) (throws []store.Throw) {
		see(t, s, club, func(tx store.Tx) { throws = must(tx.Throws(ctx, "P-1", from, to, all))(t) })
		return throws
	}
	same(t, list("", "", false), []store.Throw{in[1], in[0], in[2]})
	same(t, list("2026-05-04", "2026-05-04", false), []store.Throw{in[0]})
	if got := list("", "2026-05-02", false); got[0].Count != nil {
		t.Fatalf("found a count of %d, want it unknown", *got[0].Count)
	}
	see(t, s, club, func(tx store.Tx) {
		same(t, must(tx.Throw(ctx, in[3].ID))(t).Count, ptr(0))
		_, err := tx.Throw(ctx, "none")
		is(t, err, store.ErrNotFound)
	})

	fix := []store.Throw{{PlayerRef: "P-1", Date: "2026-05-04", Kind: "pitches", Count: ptr(86), Supersedes: &in[0].ID}}
	do(t, s, club, func(tx store.Tx) { ok(t, tx.AddThrows(ctx, fix)) })
	same(t, list("2026-05-04", "2026-05-04", false), fix)
	in[0].SupersededBy = &fix[0].ID
	same(t, list("2026-05-04", "2026-05-04", true), []store.Throw{in[0], fix[0]})
	see(t, s, club, func(tx store.Tx) {
		same(t, must(tx.ThrowsOf(ctx, []string{"P-1", "P-2", "P-3"}))(t), map[string][]store.Throw{"P-1": {in[1], fix[0], in[2]}, "P-2": {in[3]}})
		same(t, must(tx.ThrowsOf(ctx, nil))(t), map[string][]store.Throw{})
	})
	fails(t, s, club, store.ErrConflict, func(tx store.Tx) error {
		return tx.AddThrows(ctx, []store.Throw{{PlayerRef: "P-1", Date: "2026-05-04", Kind: "pitches", Supersedes: &in[0].ID}})
	})
}
