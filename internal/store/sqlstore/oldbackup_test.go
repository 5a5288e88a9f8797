package sqlstore_test

import (
	"bufio"
	"compress/gzip"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rootcue/internal/store"
	"rootcue/internal/store/sqlstore"
	"rootcue/internal/store/storetest"
)

// A backup of an older program goes into a new database and is migrated there.
// Schema 6 had the tables of today but the newer ones, and no guards yet: a
// backup of today without them stands for one of then.
func TestOlderBackup(t *testing.T) {
	from := newSQLite(t)
	club := storetest.NewClub(t, from, "Alder")
	storetest.Everything(t, from, club, "P-1")
	file := filepath.Join(t.TempDir(), "backup")
	ok(t, from.Backup(ctx, file, nil))
	older := filepath.Join(t.TempDir(), "older")
	relabel(t, file, older)

	for name, url := range map[string]string{"SQLite": filepath.Join(t.TempDir(), "new.db"), "PostgreSQL": storetest.Postgres(t)} {
		t.Run(name, func(t *testing.T) {
			db, err := sqlstore.Open(ctx, url)
			ok(t, err)
			defer db.Close()
			want(t, db.Ready(ctx), store.ErrOldSchema)
			ok(t, db.Restore(ctx, older, nil))
			ok(t, db.Ready(ctx))
			ok(t, db.View(ctx, club, func(tx store.Tx) error { _, err := tx.Player(ctx, "P-1"); return err }))
			err = db.InTx(ctx, club, func(tx store.Tx) error { _, err := tx.SQL().Exec("DELETE FROM changes"); return err })
			if err == nil {
				t.Fatal("want the guards of a later step in place")
			}
		})
	}
	// A database ahead of the backup cannot go back.
	want(t, newSQLite(t).Restore(ctx, older, nil), store.ErrNotEmpty)
}

// newer are the tables that schema 6 did not have.
var newer = []string{"player_groups", "group_members", "fresh_verdicts", "former_secrets", "exports"}

// relabel writes a backup as schema 6 would have.
func relabel(t testing.TB, from, to string) {
	t.Helper()
	in, err := os.Open(from)
	ok(t, err)
	defer in.Close()
	zip, err := gzip.NewReader(in)
	ok(t, err)
	out, err := os.Create(to)
	ok(t, err)
	w := gzip.NewWriter(out)
	lines, rows, skip := bufio.NewScanner(zip), 0, false
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		line := lines.Text()
		row := strings.HasPrefix(line, "[")
		if !row {
			skip = slices.ContainsFunc(newer, func(table string) bool { return strings.Contains(line, `"table":"`+table+`"`) })
		}
		switch {
		case skip:
			continue
		case row:
			rows++
		case strings.Contains(line, `"end":true`):
			line = fmt.Sprintf(`{"end":true,"rows":%d}`, rows)
		}
		_, err = fmt.Fprintln(w, strings.Replace(line, `"format":2,"schema":10`, `"format":1,"schema":6`, 1))
		ok(t, err)
	}
	ok(t, lines.Err())
	ok(t, w.Close())
	ok(t, out.Close())
}
