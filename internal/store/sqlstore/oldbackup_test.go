package sqlstore_test

import (
	"compress/gzip"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rootcue/internal/store"
	"rootcue/internal/store/sqlstore"
	"rootcue/internal/store/storetest"
)

// A backup of an older program goes into a new database and is migrated there.
// The schema before the last one had the same tables without their guards, so a
// backup of today stands for one of then.
func TestOlderBackup(t *testing.T) {
	from := newSQLite(t)
	club := storetest.NewClub(t, from, "Alder")
	storetest.Everything(t, from, club, "P-1")
	file := filepath.Join(t.TempDir(), "backup")
	ok(t, from.Backup(ctx, file))
	older := filepath.Join(t.TempDir(), "older")
	relabel(t, file, older, `"schema":7`, `"schema":6`)

	for name, url := range map[string]string{"SQLite": filepath.Join(t.TempDir(), "new.db"), "PostgreSQL": storetest.Postgres(t)} {
		t.Run(name, func(t *testing.T) {
			db, err := sqlstore.Open(ctx, url)
			ok(t, err)
			defer db.Close()
			want(t, db.Ready(ctx), store.ErrOldSchema)
			ok(t, db.Restore(ctx, older))
			ok(t, db.Ready(ctx))
			ok(t, db.View(ctx, club, func(tx store.Tx) error { _, err := tx.ExportPlayer(ctx, "P-1"); return err }))
			err = db.InTx(ctx, club, func(tx store.Tx) error { _, err := tx.SQL().Exec("DELETE FROM changes"); return err })
			if err == nil {
				t.Fatal("want the guards of the last step in place")
			}
		})
	}
	// A database ahead of the backup cannot go back.
	want(t, newSQLite(t).Restore(ctx, older), store.ErrNotEmpty)
}

func relabel(t testing.TB, from, to, old, new string) {
	t.Helper()
	in, err := os.Open(from)
	ok(t, err)
	defer in.Close()
	zip, err := gzip.NewReader(in)
	ok(t, err)
	text, err := io.ReadAll(zip)
	ok(t, err)
	out, err := os.Create(to)
	ok(t, err)
	w := gzip.NewWriter(out)
	_, err = io.WriteString(w, strings.Replace(string(text), old, new, 1))
	ok(t, err)
	ok(t, w.Close())
	ok(t, out.Close())
}
