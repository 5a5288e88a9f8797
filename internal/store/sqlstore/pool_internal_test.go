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
	for name, url := range map[string]string{"SQLite": filepath.Join(t.TempDir(), "club.db"), "PostgreSQL": storetest.Postgres(t)} {
		ctx := context.Background()
		db, err := Open(ctx, url)
		if err != nil {
			t.Fatal(err)
		}
		defer db.Close()
		ask := func(i int) {
			t.Helper()
			err := db.View(ctx, "c", func(in store.Tx) error {
				var n int
				err := in.(*tx).value(ctx, fmt.Sprintf("SELECT %d + length(?)", i), []any{"ab"}, &n)
				if err == nil && n != i+2 {
					err = fmt.Errorf("found %d, wanted %d", n, i+2)
				}
				return err
			})
			if err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
		kept := func(i int) bool {
			k, there := db.reader.kept.Peek(db.reader.Rebind(fmt.Sprintf("SELECT %d + length(?)", i)))
			return there && k.stmt != nil
		}
		for times, want := range []bool{false, false, true} {
			if ask(1); kept(1) != want {
				t.Errorf("%s: kept after being asked %d times: %t", name, times+1, kept(1))
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
			t.Errorf("%s: %d statements are kept, %d may be; the first still: %t", name, n, keptStatements, kept(1))
		}
		for range 3 { // also where it was wanted, and could not be prepared
			err := db.View(ctx, "c", func(in store.Tx) error {
				_, err := in.(*tx).exec(ctx, "SELECT that FROM nowhere WHERE 1 = ?", 1)
				return err
			})
			if err == nil || !strings.Contains(err.Error(), "nowhere") {
				t.Errorf("%s: reading from nowhere says %v", name, err)
			}
		}
	}
}
