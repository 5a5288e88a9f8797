package storetest

import (
	"errors"
	"fmt"
	"sync"
	"testing"

	"rootcue/internal/store"
)

var errRefusedByTrigger = errors.New("refused by a trigger")

func observations(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	sub := Sub("P-1", "2026-05-09", "one")
	sub.Observation.IdempotencyKey = ptr("key 1")
	saved := save(t, s, club, sub)[0]
	see(t, s, club, func(tx store.Tx) {
		o := must(tx.Observation(ctx, saved.Observation.ID))(t)
		same(t, o, saved.Observation)
		same(t, string(o.Input), `{"rubric":"throw-to-second","word":"one"}`)
		a := must(tx.Assessment(ctx, saved.Assessment.ID))(t)
		same(t, a, saved.Assessment)
		same(t, []string{a.PlayerRef, a.Session, a.On, a.Rubric, a.Status, a.ObservationID},
			[]string{"P-1", "spring", "2026-05-09", "throw-to-second", store.Current, o.ID})
		same(t, a.Measures["exchange_time"], store.Measured{Value: 1.02, U: 0.01, Unit: "s", Reps: 3})
		_, err := tx.Observation(ctx, "none")
		is(t, err, store.ErrNotFound)
		_, err = tx.Assessment(ctx, "none")
		is(t, err, store.ErrNotFound)
	})
	do(t, s, club, func(tx store.Tx) { ok(t, tx.Save(ctx, nil)) })
}

// bulk is large enough for the ways that only many rows take.
func bulk(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	const n = 1234
	subs := make([]store.Submission, n)
	var hashes, ids []string
	for i := range subs {
		subs[i] = Sub(fmt.Sprintf("P-%d", i%7), fmt.Sprintf("2026-05-%02d", 1+i%28), fmt.Sprintf("b%d-", i))
		// What COPY has to escape, and a large body.
		subs[i].Assessment.Body = store.Body(fmt.Sprintf("{\"i\":%d,\"odd\":\"\\\\N \\t tab\t\nline \\\\. é\",\"fill\":%q}", i, make([]byte, i)))
		hashes = append(hashes, subs[i].Observation.InputHash)
	}
	do(t, s, club, func(tx store.Tx) {
		ok(t, tx.EnsurePlayers(ctx, "P-0", "P-1", "P-2", "P-3", "P-4", "P-5", "P-6"))
		ok(t, tx.Save(ctx, subs[:100]))
		ok(t, tx.Save(ctx, subs[100:])) // twice in one transaction
	})
	for _, sub := range subs {
		ids = append(ids, sub.Observation.ID)
	}
	see(t, s, club, func(tx store.Tx) {
		byHash := must(tx.ObservationsByHash(ctx, append(hashes, Hash("unknown"))))(t)
		byID := must(tx.ObservationsByID(ctx, ids))(t)
		same(t, []int{len(byHash), len(byID)}, []int{n, n})
		for i, sub := range subs {
			same(t, byID[sub.Observation.ID], sub.Observation)
			same(t, byHash[hashes[i]].ID, sub.Observation.ID)
		}
		for _, i := range []int{0, 99, 100, n - 1} {
			same(t, must(tx.Assessment(ctx, subs[i].Assessment.ID))(t), subs[i].Assessment)
		}
		f := store.AssessmentFilter{Fault: "late-feet", Verdict: "fault"}
		same(t, len(walk(t, tx, f, 200)), n)
	})
}

func sameContent(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	save(t, s, club, Sub("P-1", "2026-05-09", "one"))
	many := []store.Submission{}
	for i := range 50 {
		many = append(many, Sub("P-1", "2026-05-09", fmt.Sprintf("m%d-", i)))
	}
	for name, subs := range map[string][]store.Submission{
		"known":          {Sub("P-1", "2026-05-09", "one")},
		"twice in one":   {Sub("P-1", "2026-05-09", "two"), Sub("P-1", "2026-05-09", "two")},
		"among many":     append(many, Sub("P-1", "2026-05-09", "one")),
		"of other dates": {Sub("P-1", "2026-05-10", "one")},
	} {
		t.Run(name, func(t *testing.T) {
			fails(t, s, club, store.ErrConflict, func(tx store.Tx) error { return tx.Save(ctx, subs) })
		})
	}
	see(t, s, club, func(tx store.Tx) {
		same(t, len(must(tx.Observations(ctx, store.ObservationFilter{}, store.Page{}))(t)), 1)
	})
}

func corrections(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	old := save(t, s, club, Sub("P-1", "2026-05-09", "one"))[0]
	fix := Sub("P-1", "2026-05-09", "fixed")
	fix.Observation.Supersedes = &old.Observation.ID
	fixed := save(t, s, club, fix)[0]
	see(t, s, club, func(tx store.Tx) {
		was := must(tx.Observation(ctx, old.Observation.ID))(t)
		same(t, was.SupersededBy, &fixed.Observation.ID)
		same(t, must(tx.Assessment(ctx, old.Assessment.ID))(t).Status, store.Old)
		now := must(tx.Observations(ctx, store.ObservationFilter{}, store.Page{}))(t)
		same(t, []int{len(now), len(must(tx.Observations(ctx, store.ObservationFilter{All: true}, store.Page{}))(t))}, []int{1, 2})
		same(t, now[0].ID, fixed.Observation.ID)
		found := must(tx.Assessments(ctx, store.AssessmentFilter{Fault: "late-feet", Verdict: "fault"}, store.Page{}))(t)
		same(t, []string{found[0].ID, fmt.Sprint(len(found))}, []string{fixed.Assessment.ID, "1"})
	})
	again := Sub("P-1", "2026-05-09", "fixed again")
	again.Observation.Supersedes = &old.Observation.ID
	fails(t, s, club, store.ErrConflict, func(tx store.Tx) error { return tx.Save(ctx, []store.Submission{again}) })
	again.Observation.Supersedes = ptr("none")
	fails(t, s, club, store.ErrNotFound, func(tx store.Tx) error { return tx.Save(ctx, []store.Submission{again}) })
	fails(t, s, club, store.ErrConflict, func(tx store.Tx) error {
		_, err := tx.Reassess(ctx, store.Assessment{ObservationID: old.Observation.ID, Body: store.Body("{}")}, nil)
		return err
	})
}

// correctionMeanwhile corrects observations while others assess them again:
// whichever comes first, a corrected observation has no current assessment.
func correctionMeanwhile(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	const n = 25
	var wait sync.WaitGroup
	for i := range n {
		old := save(t, s, club, Sub("P-1", "2026-05-09", fmt.Sprintf("old %d", i)))[0].Observation.ID
		fix := Sub("P-1", "2026-05-09", fmt.Sprintf("new %d", i))
		fix.Observation.Supersedes = &old
		errs := make(chan error, 2)
		wait.Go(func() {
			errs <- s.InTx(ctx, club, func(tx store.Tx) error { return tx.Save(ctx, []store.Submission{fix}) })
		})
		wait.Go(func() {
			err := s.InTx(ctx, club, func(tx store.Tx) error {
				_, err := tx.Reassess(ctx, store.Assessment{ObservationID: old, Body: store.Body("{}")}, nil)
				return err
			})
			if !errors.Is(err, store.ErrConflict) {
				errs <- err
			}
		})
		wait.Wait()
		close(errs)
		for err := range errs {
			ok(t, err)
		}
	}
	see(t, s, club, func(tx store.Tx) { same(t, len(walk(t, tx, store.AssessmentFilter{}, 100)), n) })
}
