package storetest

import (
	"crypto/sha256"
	"encoding/hex"
	"testing"

	"rootcue/internal/store"
)

func documents(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	source := store.Body("rubric: throw-to-second # \u00e9 \r\n\ttab\n") // kept to the byte
	sum := sha256.Sum256(source)
	var first store.Document
	do(t, s, club, func(tx store.Tx) {
		first = must(tx.Publish(ctx, store.Document{Kind: store.KindRubric, Name: "throw-to-second", Source: source, Who: "k1", Why: "shipped"}, 0))(t)
		want := store.Document{
			Kind: "rubric", Name: "throw-to-second", Version: 1, Source: source, SHA256: hex.EncodeToString(sum[:]),
			Who: "k1", Why: "shipped", At: tx.Now(), EffectiveFrom: tx.Now().Date(),
		}
		same(t, first, want)
		must(tx.Publish(ctx, store.Document{Kind: store.KindRubric, Name: "blocking", Source: store.Body("b")}, 0))(t)
		must(tx.Publish(ctx, store.Document{Kind: store.KindPolicy, Name: "blocking", Source: store.Body("p")}, 0))(t)
	})
	publish := func(base int) func(store.Tx) error {
		return func(tx store.Tx) error {
			_, err := tx.Publish(ctx, store.Document{Kind: store.KindRubric, Name: "throw-to-second", Source: store.Body("v"), EffectiveFrom: "2026-06-01"}, base)
			return err
		}
	}
	ok(t, s.InTx(ctx, club, publish(1)))
	for _, base := range []int{0, 1, 3} { // taken, stale, ahead
		fails(t, s, club, store.ErrConflict, publish(base))
	}
	active := func() (n int) {
		see(t, s, club, func(tx store.Tx) {
			n = must(tx.ActiveDocument(ctx, store.KindRubric, "throw-to-second"))(t).Version
			same(t, must(tx.ActiveVersion(ctx, store.KindRubric, "throw-to-second"))(t), n)
		})
		return n
	}
	same(t, active(), 2)
	do(t, s, club, func(tx store.Tx) { // what it changes, a transaction sees
		same(t, must(tx.ActiveVersion(ctx, store.KindRubric, "throw-to-second"))(t), 2)
		ok(t, tx.Activate(ctx, store.KindRubric, "throw-to-second", 1))
		same(t, must(tx.ActiveVersion(ctx, store.KindRubric, "throw-to-second"))(t), 1)
	})
	same(t, active(), 1)
	ok(t, s.InTx(ctx, club, publish(2))) // after going back the newest is still the base
	same(t, active(), 3)
	fails(t, s, club, store.ErrNotFound, func(tx store.Tx) error { return tx.Activate(ctx, store.KindRubric, "throw-to-second", 9) })

	see(t, s, club, func(tx store.Tx) {
		same(t, must(tx.Document(ctx, store.KindRubric, "throw-to-second", 1))(t), first)
		var names []string
		for _, d := range must(tx.ActiveDocuments(ctx, store.KindRubric))(t) {
			names = append(names, d.Name+" "+string(d.Source))
		}
		same(t, names, []string{"blocking b", "throw-to-second v"})
		var versions []int
		for _, d := range must(tx.Versions(ctx, store.KindRubric, "throw-to-second"))(t) {
			versions = append(versions, d.Version)
		}
		same(t, versions, []int{3, 2, 1})
		_, err := tx.ActiveDocument(ctx, store.KindRubric, "none")
		is(t, err, store.ErrNotFound)
		_, err = tx.ActiveVersion(ctx, store.KindRubric, "none")
		is(t, err, store.ErrNotFound)
	})
}

func documentsStay(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	do(t, s, club, func(tx store.Tx) {
		must(tx.Publish(ctx, store.Document{Kind: store.KindPolicy, Name: "league", Source: store.Body("p")}, 0))(t)
		ok(t, tx.AppendChanges(ctx, []store.Change{{Who: "k", What: "policy.published"}}))
	})
	for _, statement := range []string{
		"UPDATE documents SET why = 'other'", "DELETE FROM documents",
		"UPDATE changes SET who = 'other'", "DELETE FROM changes",
	} {
		fails(t, s, club, errRefusedByTrigger, func(tx store.Tx) error {
			if _, err := tx.SQL().ExecContext(ctx, statement); err == nil {
				return nil
			}
			return errRefusedByTrigger
		})
	}
	for _, bad := range []store.Document{
		{Kind: "practice", Name: "a", Source: store.Body("p")},
		{Kind: store.KindPolicy, Name: "", Source: store.Body("p")},
		{Kind: store.KindPolicy, Name: "a", Source: store.Body("p"), EffectiveFrom: "soon"},
	} {
		fails(t, s, club, store.ErrInvalid, func(tx store.Tx) error { _, err := tx.Publish(ctx, bad, 0); return err })
	}
}
