package sqlstore

import (
	"context"
	"path/filepath"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/internal/store"
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
	notOfPlayers := []string{"active_documents", "answers", "changes", "documents", "keys", "sessions", "tryouts", "webhooks"}
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

// No list sorts or scans: each walks an index from its place on, so that a
// page deep down costs what the first one does. SQLite says so itself
// (sqlite.org/eqp.html).
func TestListsWalkAnIndex(t *testing.T) {
	db := openInternal(t)
	deep := store.Page{After: store.Cursor{On: "2026-05-09", ID: store.NewID()}, Limit: 50}
	plans := map[string][]string{}
	explain := func(name, sql string, args []any) {
		for _, detail := range planOf(t, db, sql, args) {
			plans[name] = append(plans[name], detail)
		}
	}
	for name, f := range map[string]store.AssessmentFilter{
		"all": {}, "with old": {Old: true}, "player": {Player: "P-1"}, "player with old": {Player: "P-1", Old: true}, "rubric": {Rubric: "r"},
		"session": {Session: "s"}, "dates": {From: "2026-01-01", To: "2026-12-31"}, "verdict": {Fault: "late-feet", Verdict: "fault"},
	} {
		sql, args := assessmentQuery("club", f, deep)
		explain("assessments "+name, sql, args)
	}
	for name, f := range map[string]store.ObservationFilter{"all": {}, "player": {Player: "P-1"}, "tryout": {TryoutID: "t"}} {
		sql, args := observationQuery("club", f, deep)
		explain("observations "+name, sql, args)
	}
	want := map[string][]string{
		"assessments all":             {"SEARCH a USING INDEX assessments_by_date (club_id=? AND (on_date,id)<(?,?))"},
		"assessments with old":        {"SEARCH a USING INDEX assessments_by_date (club_id=? AND (on_date,id)<(?,?))"},
		"assessments dates":           {"SEARCH a USING INDEX assessments_by_date (club_id=? AND on_date>? AND (on_date,id)<(?,?))"},
		"assessments player":          {"SEARCH a USING INDEX assessments_by_player (club_id=? AND player_ref=? AND (on_date,id)<(?,?))"},
		"assessments player with old": {"SEARCH a USING INDEX assessments_by_player (club_id=? AND player_ref=? AND (on_date,id)<(?,?))"},
		"assessments rubric":          {"SEARCH a USING INDEX assessments_by_rubric (club_id=? AND rubric=? AND (on_date,id)<(?,?))"},
		"assessments session":         {"SEARCH a USING INDEX assessments_by_session (club_id=? AND session=? AND (on_date,id)<(?,?))"},
		"assessments verdict": {
			"SEARCH v USING PRIMARY KEY (club_id=? AND fault=? AND verdict=? AND (on_date,assessment_id)<(?,?))",
			"SEARCH a USING INDEX sqlite_autoindex_assessments_1 (club_id=? AND id=?)",
		},
		"observations all":    {"SEARCH observations USING INDEX observations_by_date (club_id=? AND (on_date,id)<(?,?))"},
		"observations player": {"SEARCH observations USING INDEX observations_by_player (club_id=? AND player_ref=? AND (on_date,id)<(?,?))"},
		"observations tryout": {"SEARCH observations USING INDEX observations_by_tryout (club_id=? AND tryout_id=? AND (on_date,id)<(?,?))"},
	}
	if diff := cmp.Diff(want, plans); diff != "" {
		t.Errorf("plans wanted - and found +:\n%s", diff)
	}
}

func planOf(t testing.TB, db *DB, sql string, args []any) (details []string) {
	t.Helper()
	rows, err := db.reader.Queryx("EXPLAIN QUERY PLAN "+sql, args...)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	for rows.Next() {
		step, err := rows.SliceScan()
		if err != nil {
			t.Fatal(err)
		}
		details = append(details, step[3].(string))
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	return details
}
