package storetest

import (
	"fmt"
	"sync"
	"testing"

	"rootcue/internal/store"
)

func changeLog(t *testing.T, s store.Store) {
	club, other := NewClub(t, s, "Alder"), NewClub(t, s, "Birch")
	changes := []store.Change{
		{Who: "k1", What: "rubric.published", Entity: "rubric/blocking", Detail: store.JSON(`{"version":2}`)},
		{Who: "system", What: "job.done"},
	}
	do(t, s, club, func(tx store.Tx) {
		ok(t, tx.AppendChanges(ctx, nil))
		ok(t, tx.AppendChanges(ctx, changes))
		ok(t, tx.AppendChanges(ctx, []store.Change{{Who: "k2", What: "key.added"}}))
	})
	do(t, s, other, func(tx store.Tx) { ok(t, tx.AppendChanges(ctx, []store.Change{{Who: "k3", What: "key.added"}})) })
	see(t, s, club, func(tx store.Tx) {
		log := must(tx.Changes(ctx, 0, 0))(t)
		same(t, []int64{log[0].Seq, log[1].Seq, log[2].Seq}, []int64{3, 2, 1})
		same(t, log[2], changes[0])
		same(t, []string{log[2].PrevHash, log[1].PrevHash, log[0].PrevHash}, []string{"", log[2].Hash, log[1].Hash})
		for _, c := range log {
			same(t, c.Hash, store.ChainHash(club, c.PrevHash, c))
		}
		same(t, must(tx.Changes(ctx, 3, 1))(t), log[1:2])
		same(t, must(tx.Changes(ctx, 1, 0))(t), []store.Change{})
		same(t, must(tx.VerifyChanges(ctx))(t), int64(3))
	})
	see(t, s, other, func(tx store.Tx) { same(t, must(tx.VerifyChanges(ctx))(t), int64(1)) })
	fails(t, s, club, store.ErrInvalid, func(tx store.Tx) error { return tx.AppendChanges(ctx, []store.Change{{Detail: store.JSON(`{`)}}) })
}

// changeLogTurns has several write into two logs at once.
func changeLogTurns(t *testing.T, s store.Store) {
	all := []string{NewClub(t, s, "Alder"), NewClub(t, s, "Birch")}
	var wait sync.WaitGroup
	errs := make(chan error, 60)
	for w := range 6 {
		wait.Go(func() {
			for i := range 10 {
				errs <- s.InTx(ctx, all[w%2], func(tx store.Tx) error {
					return tx.AppendChanges(ctx, []store.Change{{Who: fmt.Sprint(w), What: fmt.Sprint(i)}, {Who: fmt.Sprint(w), What: "and"}})
				})
			}
		})
	}
	wait.Wait()
	close(errs)
	for err := range errs {
		ok(t, err)
	}
	for _, club := range all {
		see(t, s, club, func(tx store.Tx) { same(t, must(tx.VerifyChanges(ctx))(t), int64(60)) })
	}
}

func answers(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	ask := store.Answer{Key: "a", Route: "POST /v1/observations", BodyHash: Hash("body"), Expires: later()}
	begin := func(a store.Answer) (known *store.Answer) {
		do(t, s, club, func(tx store.Tx) { known = must(tx.BeginAnswer(ctx, a))(t) })
		return known
	}
	if known := begin(ask); known != nil {
		t.Fatalf("found %v, want a key not seen before", known)
	}
	known := begin(store.Answer{Key: "a", Route: "other", Expires: later()})
	same(t, []any{known.InFlight, known.Route, known.BodyHash}, []any{true, ask.Route, ask.BodyHash})
	done := store.Answer{Key: "a", Status: 201, ContentType: "application/json", Body: `{"id":1}`, Expires: later()}
	do(t, s, club, func(tx store.Tx) { ok(t, tx.FinishAnswer(ctx, done)) })
	known = begin(ask)
	same(t, []any{known.InFlight, known.Status, known.ContentType, known.Body, known.Route},
		[]any{false, 201, done.ContentType, done.Body, ask.Route})
	do(t, s, club, func(tx store.Tx) { ok(t, tx.DropAnswer(ctx, "a")); ok(t, tx.DropAnswer(ctx, "none")) })
	ask.Expires = past()
	for range 2 { // an expired one counts as never seen
		if known := begin(ask); known != nil {
			t.Fatalf("found %v, want an expired key taken over", known)
		}
	}
	fails(t, s, club, store.ErrNotFound, func(tx store.Tx) error { return tx.FinishAnswer(ctx, store.Answer{Key: "none"}) })
}
