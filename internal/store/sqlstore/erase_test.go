package sqlstore_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"rootcue/internal/store"
	"rootcue/internal/store/storetest"
)

// What is erased is gone from the files, not only from the tables.
func TestErasedIsGoneFromTheFile(t *testing.T) {
	const ref = "REF-OF-A-CHILD-0733"
	path := filepath.Join(t.TempDir(), "club.db")
	db := openAt(t, path)
	club := storetest.NewClub(t, db, "Alder")
	storetest.Everything(t, db, club, ref)
	storetest.Everything(t, db, club, "P-2")
	if !holds(t, path, ref) {
		t.Fatal("the test looks in the wrong place")
	}
	ok(t, db.InTx(ctx, club, func(tx store.Tx) error { _, err := tx.ErasePlayer(ctx, ref, "k1"); return err }))
	if holds(t, path, ref) {
		t.Fatal("the reference is still in the files")
	}
}

func holds(t testing.TB, path, word string) bool {
	t.Helper()
	for _, name := range []string{path, path + "-wal"} {
		data, err := os.ReadFile(name)
		ok(t, err)
		if bytes.Contains(data, []byte(word)) {
			return true
		}
	}
	return false
}
