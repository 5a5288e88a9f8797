package sqlstore_test

import (
	"testing"

	"rootcue/internal/store/storetest"
)

// A first import does not wait a minute until PostgreSQL knows how large its
// tables have become: it knows from then on, and again when they are twice as large.
func TestPostgresKnowsItsTables(t *testing.T) {
	db := newPostgres(t)
	club := storetest.NewClub(t, db, "Alder")
	knows := func() (rows map[string]int) {
		rows = map[string]int{}
		found, err := db.Writer().Query("SELECT relname, reltuples::int FROM pg_class WHERE relname IN ('observations', 'assessments', 'verdicts')")
		ok(t, err)
		defer found.Close()
		for found.Next() {
			var name string
			var n int
			ok(t, found.Scan(&name, &n))
			rows[name] = n
		}
		ok(t, found.Err())
		return rows
	}
	from := 0
	for _, n := range []int{500, 2000} {
		fill(t, db, club, from, n)
		from += n
		for table, rows := range knows() {
			if rows < from/2 {
				t.Errorf("of %d stored, %s is taken to have %d rows", from, table, rows)
			}
		}
	}
}
