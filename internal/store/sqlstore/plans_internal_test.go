package sqlstore

import (
	"context"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"rootcue/internal/store"
	"rootcue/internal/store/storetest"
)

// No list sorts or scans: each walks an index from its place on, so that a
// page deep down costs what the first one does. SQLite says so itself
// (sqlite.org/eqp.html).
func TestListsWalkAnIndex(t *testing.T) {
	db := openInternal(t)
	plans := map[string][]string{}
	for name, q := range listQueries(deep) {
		plans[name] = planOf(t, db.reader, "EXPLAIN QUERY PLAN "+q.sql, q.args, 3)
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

// PostgreSQL takes the order from an index too, where it has one to take: with
// sorting made dear it sorts only when it must.
func TestListsNeedNoSort(t *testing.T) {
	db := planned(t)
	for _, page := range []store.Page{deep, {Limit: 50}} {
		for name, q := range listQueries(page) {
			plan := strings.Join(planOf(t, db.reader, "EXPLAIN (COSTS OFF) "+db.reader.Rebind(q.sql), q.args, 0), "\n")
			if strings.Contains(plan, "Sort") || !strings.Contains(plan, "Index") {
				t.Errorf("%s sorts or scans:\n%s", name, plan)
			}
		}
	}
}

// What is deleted of one player, or one assessment, is found by an index, not by
// going through all that the club has.
func TestDeletionsWalkAnIndex(t *testing.T) {
	all := append([]deletion{{"verdicts", ofCurrent}, {"fresh_verdicts", ofCurrent}}, deletions...)
	for kind, db := range map[string]*DB{"SQLite": openInternal(t), "PostgreSQL": planned(t)} {
		for _, d := range all {
			explain, column, wanted := "EXPLAIN QUERY PLAN ", 3, "SEARCH "+d.table+" USING .*club_id=. AND "
			if db.Postgres() {
				// Which index it takes of empty tables says nothing; that it asks
				// anew for each row would.
				explain, column, wanted = "EXPLAIN (COSTS OFF) ", 0, "Index Cond: "
			}
			err := db.View(context.Background(), "club", func(s store.Tx) error {
				x := s.(*tx)
				sql, args, err := x.statement(explain+"DELETE FROM "+d.table+" WHERE "+d.where+" AND club_id = ?", []any{"P-1", "club"})
				if err != nil {
					return err
				}
				plan := strings.Join(planOf(t, x.sx, sql, args, column), "\n")
				if !regexp.MustCompile(wanted).MatchString(plan) || strings.Contains(plan, "SubPlan") || strings.Contains(plan, "CORRELATED") {
					t.Errorf("%s, %s: not by an index alone:\n%s", kind, d.table, plan)
				}
				return nil
			})
			if err != nil {
				t.Fatal(err)
			}
		}
	}
}

// planned opens a PostgreSQL database whose planner takes an index where it can,
// though the tables are empty.
func planned(t testing.TB) *DB {
	t.Helper()
	db, err := Open(context.Background(), storetest.Postgres(t))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	if err := db.Migrate(context.Background()); err != nil {
		t.Fatal(err)
	}
	for _, pool := range []*pool{db.writer, db.reader} {
		pool.SetMaxOpenConns(1) // the settings hold for one connection
		for _, off := range []string{"enable_sort", "enable_seqscan", "enable_bitmapscan", "enable_hashjoin", "enable_mergejoin"} {
			if _, err := pool.Exec("SET " + off + " = off"); err != nil {
				t.Fatal(err)
			}
		}
	}
	return db
}

// deep is a page far into a list.
var deep = store.Page{After: store.Cursor{On: "2026-05-09", ID: store.NewID()}, Limit: 50}

type listQuery struct {
	sql  string
	args []any
}

func listQueries(page store.Page) map[string]listQuery {
	queries := map[string]listQuery{}
	for name, f := range map[string]store.AssessmentFilter{
		"all": {}, "with old": {Old: true}, "player": {Player: "P-1"}, "player with old": {Player: "P-1", Old: true}, "rubric": {Rubric: "r"},
		"session": {Session: "s"}, "dates": {From: "2026-01-01", To: "2026-12-31"}, "verdict": {Fault: "late-feet", Verdict: "fault"},
	} {
		sql, args := assessmentQuery("club", f, page)
		queries["assessments "+name] = listQuery{sql, args}
	}
	for name, f := range map[string]store.ObservationFilter{"all": {}, "player": {Player: "P-1"}, "tryout": {TryoutID: "t"}} {
		sql, args := observationQuery("club", f, page)
		queries["observations "+name] = listQuery{sql, args}
	}
	return queries
}

// planOf gives one column of the rows of an EXPLAIN.
func planOf(t testing.TB, db sqlx.Queryer, explain string, args []any, column int) (lines []string) {
	t.Helper()
	rows, err := db.Queryx(explain, args...)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	for rows.Next() {
		step, err := rows.SliceScan()
		if err != nil {
			t.Fatal(err)
		}
		lines = append(lines, fmt.Sprint(step[column]))
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	return lines
}
