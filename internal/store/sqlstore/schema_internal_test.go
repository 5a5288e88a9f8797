package sqlstore

import (
	"context"
	"path/filepath"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func openInternal(t testing.TB) *DB {
	t.Helper()
	db, err := Open(context.Background(), filepath.Join(t.TempDir(), "club.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	if err := db.Migrate(context.Background()); err != nil {
		t.Fatal(err)
	}
	return db
}

// A table or column that no row type has would be missing from every backup.
func TestRowsMatchTables(t *testing.T) {
	db := openInternal(t)
	var inSchema []string
	err := db.reader.Select(&inSchema, "SELECT DISTINCT m.name FROM sqlite_master m JOIN pragma_table_info(m.name) c WHERE m.type = 'table' AND c.name = 'club_id'")
	if err != nil {
		t.Fatal(err)
	}
	var known []string
	for _, a := range tables {
		known = append(known, a.table)
		var columns []string
		if err := db.reader.Select(&columns, "SELECT name FROM pragma_table_info(?) WHERE name <> 'club_id' ORDER BY name", a.table); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(columns, slices.Sorted(slices.Values(a.shape.columns))); diff != "" {
			t.Errorf("%s: schema - and row type +:\n%s", a.table, diff)
		}
	}
	inSchema = slices.DeleteFunc(inSchema, func(table string) bool { return table == "export_parts" }) // made anew
	slices.Sort(inSchema)
	slices.Sort(known)
	if diff := cmp.Diff(inSchema, known); diff != "" {
		t.Errorf("tables of the schema - and of the backup +:\n%s", diff)
	}
}

// Every table that names a player is in the list of what an erasure deletes,
// or is reached through one that is.
func TestErasureReachesEveryTable(t *testing.T) {
	db := openInternal(t)
	notOfPlayers := []string{"active_documents", "answers", "changes", "documents", "former_secrets", "keys", "player_groups", "sessions", "tryouts", "webhooks"}
	for _, a := range tables {
		deleted := slices.ContainsFunc(deletions, func(d deletion) bool { return d.table == a.table })
		if deleted == slices.Contains(notOfPlayers, a.table) {
			t.Errorf("%s: deleted %v; say in this test or in the list of deletions which it is", a.table, deleted)
		}
		var unbound int
		ask := `SELECT count(*) FROM pragma_table_info(?) c WHERE c.name IN ('player_ref', 'assessment_id', 'observation_id') AND c.name NOT IN
			(SELECT "from" FROM pragma_foreign_key_list(?))`
		if err := db.reader.Get(&unbound, ask, a.table, a.table); err != nil {
			t.Fatal(err)
		}
		if unbound > 0 {
			t.Errorf("%s names a row of a player without a foreign key, so that an erasure could leave it behind", a.table)
		}
	}
}
