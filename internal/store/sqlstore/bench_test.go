package sqlstore_test

import (
	"database/sql"
	"flag"
	"fmt"
	"strings"
	"testing"
	"time"

	"rootcue/internal/store"
	"rootcue/internal/store/sqlstore"
	"rootcue/internal/store/storetest"
)

// An assessment's document has some 9 KB, as the shipped rubrics give it: much
// the same words each time, other numbers.
func document(i int) store.Body {
	text := []byte(`{"findings":[`)
	for j := range 60 {
		text = fmt.Appendf(text, `{"fault":"fault-%d","verdict":"not-seen","chance":0.%07d,"in_context":0.%07d,"title":"What is looked at in item %d","past_by":%d.%d},`,
			j, (i*7919+j*104729)%10000000, (i*31+j*1299709)%10000000, j, j%7, i%10)
	}
	return append(text, `{}]}`...)
}

// Observations come day after day, as a club makes them.
const perDay = 500

func dayOf(i int) string {
	return time.Date(2001, 1, 1+i/perDay, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
}

func submissions(from, n int) []store.Submission {
	subs := make([]store.Submission, n)
	for i := range subs {
		subs[i] = storetest.Sub(fmt.Sprintf("P-%d", (from+i)%100), dayOf(from+i), fmt.Sprintf("bench %d", from+i))
		subs[i].Assessment.Body = document(from + i)
		subs[i].Verdicts = nil
		for j := range 12 {
			subs[i].Verdicts = append(subs[i].Verdicts, store.Verdict{Fault: fmt.Sprintf("fault-%d", j), Verdict: []string{"fault", "close", "sound"}[(from+i+j)%3]})
		}
	}
	return subs
}

func fill(b testing.TB, db *sqlstore.DB, club string, from, n int) {
	b.Helper()
	const batch = 1000
	timer, timed := b.(*testing.B)
	for ; n > 0; n -= batch {
		if timed {
			timer.StopTimer() // what is saved is there before
		}
		subs := submissions(from, min(n, batch))
		if timed {
			timer.StartTimer()
		}
		ok(b, db.InTx(ctx, club, func(tx store.Tx) error {
			refs := make([]string, 100)
			for i := range refs {
				refs[i] = fmt.Sprintf("P-%d", i)
			}
			ok(b, tx.EnsurePlayers(ctx, refs...))
			return tx.Save(ctx, subs)
		}))
		from += batch
	}
}

func durablePostgres(t testing.TB) *sqlstore.DB { return openAt(t, storetest.Durable(t)) }

func eachDatabase(b *testing.B, bench func(b *testing.B, db *sqlstore.DB, club string)) {
	for name, open := range map[string]func(testing.TB) *sqlstore.DB{"SQLite": newSQLite, "PostgreSQL": durablePostgres} {
		b.Run(name, func(b *testing.B) {
			db := open(b)
			bench(b, db, storetest.NewClub(b, db, "Alder"))
		})
	}
}

// BenchmarkSave keeps observations with 9 KB assessments, a thousand a
// transaction; one operation is one of them.
func BenchmarkSave(b *testing.B) {
	eachDatabase(b, func(b *testing.B, db *sqlstore.DB, club string) {
		fill(b, db, club, 0, b.N)
		b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "saved/s")
	})
}

// BenchmarkSaveOne keeps one at a time with its log entry, as a phone does.
func BenchmarkSaveOne(b *testing.B) {
	eachDatabase(b, func(b *testing.B, db *sqlstore.DB, club string) {
		for i := range b.N {
			b.StopTimer()
			subs := submissions(i, 1)
			b.StartTimer()
			ok(b, db.InTx(ctx, club, func(tx store.Tx) error {
				ok(b, tx.EnsurePlayers(ctx, subs[0].Observation.PlayerRef))
				ok(b, tx.Save(ctx, subs))
				return tx.AppendChanges(ctx, []store.Change{{Who: "k", What: "observation.stored"}})
			}))
		}
	})
}

// BenchmarkBare keeps the same rows, a thousand a transaction, in tables that
// have no index, no constraint and no fence: the least that can be done. SQLite
// gets them by a prepared INSERT, PostgreSQL by COPY.
func BenchmarkBare(b *testing.B) {
	eachDatabase(b, func(b *testing.B, db *sqlstore.DB, club string) {
		const batch = 1000
		fill(b, db, club, 0, batch)
		var tables []bareTable
		for _, name := range []string{"observations", "assessments", "verdicts"} {
			tables = append(tables, newBareTable(b, db, club, name))
		}
		b.ResetTimer()
		for done := 0; done < b.N; done += batch {
			tx, err := db.Writer().Begin()
			ok(b, err)
			for _, t := range tables {
				t.add(b, tx, t.rows[:len(t.rows)*min(batch, b.N-done)/batch])
			}
			ok(b, tx.Commit())
		}
	})
}

// A bareTable takes rows of a table of the store.
type bareTable struct {
	insert string
	copies bool
	rows   [][]any // those that the table holds
}

func newBareTable(b *testing.B, db *sqlstore.DB, club, of string) bareTable {
	b.Helper()
	columns, rows := rowsOf(b, db, club, of)
	if len(rows) == 0 {
		b.Fatalf("nothing was stored in %s", of)
	}
	create := "CREATE TABLE bare_" + of + " AS SELECT * FROM " + of + " WHERE 1 = 0"
	t := bareTable{"INSERT INTO bare_" + of + " VALUES (?" + strings.Repeat(", ?", columns-1) + ")", db.Postgres(), rows}
	if t.copies {
		create = "CREATE TABLE bare_" + of + " (LIKE " + of + " INCLUDING COMPRESSION)"
		t.insert = "COPY bare_" + of + " FROM STDIN"
	}
	_, err := db.Writer().Exec(create)
	ok(b, err)
	return t
}

// rowsOf reads all rows of a table, and how many columns they have.
func rowsOf(b *testing.B, db *sqlstore.DB, club, of string) (columns int, rows [][]any) {
	b.Helper()
	ok(b, db.View(ctx, club, func(tx store.Tx) error {
		found, err := tx.SQL().Query("SELECT * FROM " + of)
		ok(b, err)
		defer found.Close()
		names, err := found.Columns()
		ok(b, err)
		columns = len(names)
		for found.Next() {
			row, into := make([]any, columns), make([]any, columns)
			for i := range row {
				into[i] = &row[i]
			}
			ok(b, found.Scan(into...))
			for i, v := range row {
				if text, is := v.([]byte); is && db.Postgres() {
					row[i] = string(text)
				}
			}
			rows = append(rows, row)
		}
		return found.Err()
	}))
	return columns, rows
}

// BenchmarkCopy has PostgreSQL COPY the rows, a thousand observations a
// transaction, into the tables of the store with all their keys and indexes. Only
// the fence around a club is taken away, through which COPY does not go.
func BenchmarkCopy(b *testing.B) {
	source, target := durablePostgres(b), durablePostgres(b)
	club := storetest.NewClub(b, source, "Alder")
	fill(b, source, club, 0, b.N)
	var tables []bareTable
	for _, of := range []string{"clubs", "players", "observations", "assessments", "verdicts"} {
		_, rows := rowsOf(b, source, club, of)
		tables = append(tables, bareTable{"COPY " + of + " FROM STDIN", true, rows})
		_, err := target.Writer().Exec("ALTER TABLE " + of + " NO FORCE ROW LEVEL SECURITY")
		ok(b, err)
	}
	add := func(tables []bareTable, from, to int) {
		tx, err := target.Writer().Begin()
		ok(b, err)
		for _, t := range tables {
			t.add(b, tx, t.rows[len(t.rows)*from/b.N:len(t.rows)*to/b.N])
		}
		ok(b, tx.Commit())
	}
	add(tables[:2], 0, b.N)
	b.ResetTimer()
	for done := 0; done < b.N; done += 1000 {
		add(tables[2:], done, min(done+1000, b.N))
	}
}

func (t bareTable) add(b *testing.B, tx *sql.Tx, rows [][]any) {
	b.Helper()
	stmt, err := tx.Prepare(t.insert)
	ok(b, err)
	for _, row := range rows {
		_, err := stmt.Exec(row...)
		ok(b, err)
	}
	if t.copies {
		_, err = stmt.Exec() // sends the rest and ends the copy
		ok(b, err)
	}
	ok(b, stmt.Close())
}

// BenchmarkBareOne keeps the documents of one observation and its assessment at
// a time in a table of two columns.
func BenchmarkBareOne(b *testing.B) {
	eachDatabase(b, func(b *testing.B, db *sqlstore.DB, _ string) {
		create, insert := "CREATE TABLE kept (input TEXT, body TEXT)", "INSERT INTO kept VALUES (?, ?)"
		if db.Postgres() {
			create, insert = "CREATE TABLE kept (input TEXT COMPRESSION lz4, body TEXT COMPRESSION lz4)", "INSERT INTO kept VALUES ($1, $2)"
		}
		_, err := db.Writer().Exec(create)
		ok(b, err)
		for i := range b.N {
			b.StopTimer()
			sub := submissions(i, 1)[0]
			b.StartTimer()
			_, err := db.Writer().Exec(insert, string(sub.Observation.Input), string(sub.Assessment.Body))
			ok(b, err)
		}
	})
}

var pageRows = flag.Int("rows", 20000, "how many assessments BenchmarkPage reads from")

// BenchmarkPage reads a page of 50 from the top and from deep down: both cost
// the same, however many there are.
func BenchmarkPage(b *testing.B) {
	rows := *pageRows
	eachDatabase(b, func(b *testing.B, db *sqlstore.DB, club string) {
		fill(b, db, club, 0, rows)
		_, err := db.Writer().Exec("ANALYZE") // as the databases do by themselves in time
		ok(b, err)
		filters := map[string]store.AssessmentFilter{
			"all": {}, "player": {Player: "P-7"}, "rubric": {Rubric: "throw-to-second"}, "verdict": {Fault: "fault-3", Verdict: "fault"},
		}
		for name, f := range filters {
			for _, depth := range []string{"top", "deep"} {
				b.Run(fmt.Sprintf("%s/%s/rows=%d", name, depth, rows), func(b *testing.B) {
					page := store.Page{Limit: 50}
					if depth == "deep" {
						page.After = store.Cursor{On: dayOf(rows / 10), ID: store.NewID()}
					}
					for range b.N {
						ok(b, db.View(ctx, club, func(tx store.Tx) error { _, err := tx.Assessments(ctx, f, page); return err }))
					}
				})
			}
		}
	})
}
