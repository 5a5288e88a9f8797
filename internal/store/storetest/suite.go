// Package storetest is the one suite that every store must pass, and the
// PostgreSQL server the tests run it on.
package storetest

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"rootcue/internal/store"
)

// An Opener gives a new, migrated, empty store, closed when the test ends.
type Opener func(t testing.TB) store.Store

// Run runs the suite, each part on a store of its own.
func Run(t *testing.T, open Opener) {
	for _, part := range []struct {
		name string
		test func(*testing.T, store.Store)
	}{
		{"clubs", clubs},
		{"club made whole or not at all", clubWhole},
		{"keys", keys},
		{"sessions", sessions},
		{"transactions", transactions},
		{"refused values", refused},
		{"clubs do not see each other", apart},
		{"players", players},
		{"players by team", teams},
		{"groups", groups},
		{"documents", documents},
		{"published versions stay", documentsStay},
		{"observations", observations},
		{"bulk", bulk},
		{"same content", sameContent},
		{"corrections", corrections},
		{"correction while others reassess", correctionMeanwhile},
		{"reassessment", reassessment},
		{"filters", filters},
		{"pages", pages},
		{"verdicts", verdicts},
		{"many verdicts", manyVerdicts},
		{"reviews", reviews},
		{"cues", cues},
		{"ledger", ledger},
		{"tryouts", tryouts},
		{"grades", grades},
		{"bibs", bibs},
		{"webhooks", webhooks},
		{"links", links},
		{"log", changeLog},
		{"log of many at once", changeLogTurns},
		{"answers", answers},
		{"export", export},
		{"parts of exports", exportParts},
		{"erasure", erasure},
		{"erasure leaves others alone", erasureOthers},
		{"erasure while others submit", erasureMeanwhile},
		{"sweep", sweep},
		{"retention", retention},
		{"many writers", manyWriters},
		{"random work", against},
	} {
		t.Run(part.name, func(t *testing.T) { part.test(t, open(t)) })
	}
}

// NewClub makes a club with one admin key and gives its id.
func NewClub(t testing.TB, s store.Store, name string) string {
	t.Helper()
	c, err := s.CreateClub(context.Background(), store.Club{Name: name}, func(tx store.Tx) error {
		_, err := tx.AddKey(context.Background(), store.Key{Label: "first", Prefix: "rc_", Hash: Hash(name), Role: "admin"})
		return err
	})
	ok(t, err)
	return c.ID
}

// Hash is the SHA-256 of a word, in hex.
func Hash(word string) string {
	sum := sha256.Sum256([]byte(word))
	return hex.EncodeToString(sum[:])
}

// do runs fn in a writing transaction and fails the test on any error.
func do(t testing.TB, s store.Store, club string, fn func(tx store.Tx)) {
	t.Helper()
	ok(t, s.InTx(context.Background(), club, func(tx store.Tx) error { fn(tx); return nil }))
}

// see runs fn on a picture and fails the test on any error.
func see(t testing.TB, s store.Store, club string, fn func(tx store.Tx)) {
	t.Helper()
	ok(t, s.View(context.Background(), club, func(tx store.Tx) error { fn(tx); return nil }))
}

// fails runs fn in a writing transaction of its own and wants its error.
func fails(t testing.TB, s store.Store, club string, want error, fn func(tx store.Tx) error) {
	t.Helper()
	is(t, s.InTx(context.Background(), club, fn), want)
}

// ok stops the test on an error.
func ok(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// must gives the value or stops the test.
func must[T any](v T, err error) func(testing.TB) T {
	return func(t testing.TB) T {
		t.Helper()
		ok(t, err)
		return v
	}
}

// is wants an error of a kind.
func is(t testing.TB, err, kind error) {
	t.Helper()
	if !errors.Is(err, kind) {
		t.Fatalf("found error %v, want %v", err, kind)
	}
}

// same wants two values alike.
func same(t testing.TB, got, want any) {
	t.Helper()
	if diff := cmp.Diff(want, got); diff != "" {
		t.Fatalf("found + and not -:\n%s", diff)
	}
}

// ptr gives a pointer to a value, for columns that may be empty.
func ptr[T any](v T) *T { return &v }

// later is a time ahead of every transaction of the tests, far enough not to
// matter.
func later() store.Time { return store.At(time.Now().Add(24 * time.Hour)) }

// past is a time before every transaction of the tests.
func past() store.Time { return store.At(time.Now().Add(-24 * time.Hour)) }

var ctx = context.Background()
