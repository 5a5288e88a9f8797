package sqlstore

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"rootcue/internal/store"
	"rootcue/internal/store/storetest"
)

// A statement asked for twice is kept from the next transaction on; those asked
// for longest ago make room, and do so while others are in use.
func TestKeptStatements(t *testing.T) {
	ctx := t.Context()
	db := opened(t, filepath.Join(t.TempDir(), "club.db"))
	ask := func(i int) {
		t.Helper()
		if err := askFor(ctx, db, i); err != nil {
			t.Error(err)
		}
	}
	kept := func(i int) bool {
		k, there := db.reader.kept.Peek(query(i))
		return there && k.stmt != nil
	}
	for times, want := range []bool{false, false, true} {
		if ask(1); kept(1) != want {
			t.Errorf("kept after being asked for %d times: %t", times+1, kept(1))
		}
	}
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			for i := range 3 * 2 * keptStatements {
				ask(i / 3)
			}
		})
	}
	all.Wait()
	if n := db.reader.kept.Len(); n > keptStatements || kept(1) {
		t.Errorf("%d statements are kept, %d may be; the first still: %t", n, keptStatements, kept(1))
	}
	for range 3 { // also where it was wanted, and could not be prepared
		err := db.View(ctx, "c", func(in store.Tx) error {
			_, err := in.(*tx).exec(ctx, "SELECT that FROM nowhere WHERE 1 = ?", 1)
			return err
		})
		if err == nil || !strings.Contains(err.Error(), "nowhere") {
			t.Errorf("reading from nowhere says %v", err)
		}
	}
}

// No statement has a name on a connection to PostgreSQL, so that a pooler may
// give each transaction another one.
func TestPostgresThroughAPooler(t *testing.T) {
	ctx := t.Context()
	db := opened(t, storetest.Postgres(t))
	db.writer.SetMaxOpenConns(1)
	for i := range 4 {
		if err := askFor(ctx, db, i/2); err != nil {
			t.Error(err)
		}
	}
	var names int
	if err := db.writer.Get(&names, "SELECT count(*) FROM pg_prepared_statements"); err != nil || names != 0 {
		t.Errorf("%d statements with a name, %v", names, err)
	}
}

func opened(t *testing.T, url string) *DB {
	t.Helper()
	db, err := Open(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	return db
}

func query(i int) string { return fmt.Sprintf("SELECT %d + length(?)", i) }

func askFor(ctx context.Context, db *DB, i int) error {
	return db.View(ctx, "c", func(in store.Tx) error {
		var n int
		err := in.(*tx).value(ctx, query(i), []any{"ab"}, &n)
		if err == nil && n != i+2 {
			err = fmt.Errorf("found %d, wanted %d", n, i+2)
		}
		return err
	})
}
