package sqlstore_test

import (
	"database/sql"
	"testing"

	"rootcue/internal/store"
	"rootcue/internal/store/sqlstore"
	"rootcue/internal/store/storetest"
)

// The role of the tests is no superuser: row security holds for it, though it
// owns the tables.
func TestFence(t *testing.T) {
	db := newPostgres(t)
	alder, birch := storetest.NewClub(t, db, "Alder"), storetest.NewClub(t, db, "Birch")
	storetest.Everything(t, db, alder, "P-1")
	storetest.Everything(t, db, birch, "Q-1")

	for _, table := range clubTables(t, db.Writer()) {
		// A query that forgot to ask for the club sees nothing outside a
		// transaction of the store and its own club within.
		var n, foreign int
		ok(t, db.Writer().QueryRow("SELECT count(*) FROM "+table).Scan(&n))
		if n != 0 {
			t.Errorf("%s: %d rows seen without a club, want none", table, n)
		}
		ok(t, db.View(ctx, alder, func(tx store.Tx) error {
			return tx.SQL().QueryRow("SELECT count(*) FROM "+table+" WHERE club_id <> $1", alder).Scan(&foreign)
		}))
		if foreign != 0 {
			t.Errorf("%s: %d rows of another club seen, want none", table, foreign)
		}
		err := db.InTx(ctx, alder, func(tx store.Tx) error {
			result, err := tx.SQL().Exec("UPDATE "+table+" SET club_id = club_id WHERE club_id = $1", birch)
			if err != nil {
				return nil // a trigger that guards the table comes first
			}
			n, err := result.RowsAffected()
			if n != 0 {
				t.Errorf("%s: %d rows of another club changed, want none", table, n)
			}
			return err
		})
		if err != nil && table != "changes" && table != "documents" {
			t.Errorf("%s: %v", table, err)
		}
	}
	err := db.InTx(ctx, alder, func(tx store.Tx) error {
		if _, err := tx.SQL().Exec("SELECT set_config('rootcue.club', 'other', true)"); err != nil {
			return err
		}
		return tx.EnsurePlayers(ctx, "P-2")
	})
	want(t, err, store.ErrFenced)
}

func TestFenced(t *testing.T) {
	url := storetest.Postgres(t)
	for _, c := range []struct {
		db   *sqlstore.DB
		want bool
	}{{openAt(t, url), true}, {openAt(t, storetest.Superuser(t, url)), false}, {newSQLite(t), false}} {
		got, err := c.db.Fenced(ctx)
		ok(t, err)
		if got != c.want {
			t.Errorf("found %v, want %v", got, c.want)
		}
	}
}

// Doors open by the very secret, and only to look.
func TestFenceDoors(t *testing.T) {
	db := newPostgres(t)
	storetest.NewClub(t, db, "Alder")
	storetest.NewClub(t, db, "Birch")
	tx, err := db.Writer().Begin()
	ok(t, err)
	defer tx.Rollback()
	_, err = tx.Exec("SELECT set_config('rootcue.door', $1, true)", storetest.Hash("Alder"))
	ok(t, err)
	var n int
	ok(t, tx.QueryRow("SELECT count(*) FROM keys").Scan(&n))
	if n != 1 {
		t.Errorf("found %d keys behind the door, want 1", n)
	}
	result, err := tx.Exec("UPDATE keys SET role = 'admin'")
	ok(t, err)
	if n, _ := result.RowsAffected(); n != 0 {
		t.Errorf("changed %d keys through the door, want none", n)
	}
}

// A table added later must not be left outside the fence.
func TestEveryTableIsFenced(t *testing.T) {
	db := newPostgres(t)
	rows, err := db.Writer().Query(`SELECT c.relname FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid
		WHERE c.relkind = 'r' AND c.relnamespace = 'public'::regnamespace AND (a.attname = 'club_id' OR c.relname = 'clubs')
		  AND NOT (c.relrowsecurity AND c.relforcerowsecurity)`)
	ok(t, err)
	defer rows.Close()
	for rows.Next() {
		var table string
		ok(t, rows.Scan(&table))
		t.Errorf("%s has no forced row security", table)
	}
	ok(t, rows.Err())
}

func clubTables(t testing.TB, db *sql.DB) (tables []string) {
	t.Helper()
	rows, err := db.Query("SELECT table_name FROM information_schema.columns WHERE column_name = 'club_id' AND table_schema = 'public' ORDER BY 1")
	ok(t, err)
	defer rows.Close()
	for rows.Next() {
		var table string
		ok(t, rows.Scan(&table))
		tables = append(tables, table)
	}
	ok(t, rows.Err())
	if len(tables) < 20 {
		t.Fatalf("found %d tables, want all", len(tables))
	}
	return tables
}
