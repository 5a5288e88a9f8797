package club_test

import (
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	_ "modernc.org/sqlite" // the driver "sqlite"

	"rootcue/engine"
	"rootcue/engine/observation"
	"rootcue/engine/rubric"
	"rootcue/internal/club"
	"rootcue/internal/store"
	"rootcue/rubrics"
)

// full is an observation of six reps as an evaluator would send it.
func full(b testing.TB) string {
	b.Helper()
	raw, err := os.ReadFile("../../testdata/observations/off-line.json")
	if err != nil {
		b.Fatal(err)
	}
	return strings.Join(strings.Fields(string(raw)), "")
}

// as is the same observation of another player.
func as(doc string, n int) string {
	return strings.Replace(doc, `"ref":"P-0733"`, fmt.Sprintf(`"ref":"B-%07d"`, n), 1)
}

// What one submission costs over writing the same bytes down safely.
func BenchmarkSubmitOne(b *testing.B) {
	doc := full(b)
	b.Run("submit", func(b *testing.B) {
		c := embedded(b)
		a := member(b, c, "Harbour", "submit")
		n := 0
		for b.Loop() {
			n++
			src, _, err := club.JSON([]byte(as(doc, n)))
			submit(b, c, a, src, err)
		}
	})
	b.Run("bare insert", func(b *testing.B) { bareInserts(b, doc) })
}

// bareInserts commits the bytes of one observation and its assessment, and
// nothing else, with the same durability.
func bareInserts(b *testing.B, doc string) {
	c := embedded(b)
	a := member(b, c, "Harbour", "submit")
	src, _, err := club.JSON([]byte(doc))
	submit(b, c, a, src, err)
	body := bodies(b, c, a)["P-0733"]
	db := bare(b)
	for b.Loop() {
		if _, err := db.Exec(bareInsert, doc, body); err != nil {
			b.Fatal(err)
		}
	}
}

const bareInsert = "INSERT INTO kept (input, answer) VALUES (?, ?)"

// bare is a database with one table and no index, as durable as the store's.
func bare(b *testing.B) *sql.DB {
	b.Helper()
	db, err := sql.Open("sqlite", "file:"+filepath.Join(b.TempDir(), "bare.db")+"?_pragma=page_size(8192)&_pragma=journal_mode(wal)&_pragma=synchronous(full)")
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { db.Close() })
	db.SetMaxOpenConns(1)
	if _, err := db.Exec("CREATE TABLE kept (id INTEGER PRIMARY KEY, input TEXT, answer TEXT)"); err != nil {
		b.Fatal(err)
	}
	return db
}

const linesAtOnce = 2000 // of BenchmarkBulk

// Lines a second from NDJSON, over a program that does no more than it must:
// it decodes, judges and encodes each line, on all processors, and inserts the
// bytes as they are, 512 lines a transaction.
func BenchmarkBulk(b *testing.B) {
	doc, n := full(b), 0
	text := func() string {
		var text strings.Builder
		for range linesAtOnce {
			n++
			text.WriteString(as(doc, n) + "\n")
		}
		return text.String()
	}
	b.Run("submit", func(b *testing.B) {
		c := embedded(b)
		a := member(b, c, "Harbour", "submit")
		for b.Loop() {
			if _, done := submit(b, c, a, club.NDJSON(strings.NewReader(text())), nil); done.Stored != linesAtOnce {
				b.Fatalf("%+v", done)
			}
		}
		b.ReportMetric(float64(b.N)*linesAtOnce/b.Elapsed().Seconds(), "lines/s")
	})
	b.Run("bare", func(b *testing.B) {
		db, r := bare(b), throwRubric(b)
		for b.Loop() {
			lines := strings.Split(strings.TrimSpace(text()), "\n")
			for part := range slices.Chunk(lines, 512) {
				bareBatch(b, db, r, part)
			}
		}
		b.ReportMetric(float64(b.N)*linesAtOnce/b.Elapsed().Seconds(), "lines/s")
	})
}

func throwRubric(b *testing.B) *rubric.Rubric {
	b.Helper()
	src, err := rubrics.Files.ReadFile(throw + ".yaml")
	if err != nil {
		b.Fatal(err)
	}
	r, slips := rubric.Parse(throw, src, nil)
	if r == nil {
		b.Fatal(slips)
	}
	return r
}

// bareBatch judges lines and inserts them in one transaction.
func bareBatch(b *testing.B, db *sql.DB, r *rubric.Rubric, lines []string) {
	answers := make([][]byte, len(lines))
	var next atomic.Int64
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := next.Add(1) - 1; i < int64(len(lines)); i = next.Add(1) - 1 {
				o, _ := observation.Decode([]byte(lines[i]))
				a, _ := engine.Assess(engine.Request{Rubric: r, Version: 1, Observation: o, ID: store.NewID()})
				answers[i], _ = a.JSON()
			}
		})
	}
	wg.Wait()
	tx, err := db.Begin()
	if err != nil {
		b.Fatal(err)
	}
	insert, err := tx.Prepare(bareInsert)
	if err != nil {
		b.Fatal(err)
	}
	for i, line := range lines {
		if _, err := insert.Exec(line, string(answers[i])); err != nil {
			b.Fatal(err)
		}
	}
	if err := tx.Commit(); err != nil {
		b.Fatal(err)
	}
}

// A hundred thousand lines of a table, a hundred of them bad. Run it with
// -benchtime 1x.
func BenchmarkTable100000(b *testing.B) {
	for b.Loop() {
		c := embedded(b)
		a := member(b, c, "Harbour", "submit")
		var text strings.Builder
		text.WriteString("player,age,on,rep,stride_off_line [deg],change_time [s]\n")
		for n := range 100_000 {
			off := "12,5"
			if n%1000 != 0 {
				off = fmt.Sprint(n % 30)
			}
			fmt.Fprintf(&text, "B-%d,12,2026-05-09,1,%s,0.41\n", n, off)
		}
		src, err := club.CSV(strings.NewReader(text.String()), throw)
		if _, done := submit(b, c, a, src, err); done != (club.Done{Stored: 99_900, Refused: 100}) {
			b.Fatalf("%+v", done)
		}
	}
}

// A page deep in a list costs what the first one costs.
func BenchmarkPage(b *testing.B) {
	c := embedded(b)
	a := member(b, c, "Harbour", "submit")
	const rows = 20_000
	var text strings.Builder
	for n := range rows {
		text.WriteString(doc(fmt.Sprint("P-", n), "", rep(1, float64(n%30))) + "\n")
	}
	submit(b, c, a, club.NDJSON(strings.NewReader(text.String())), nil)
	cursor, depth := "", 0
	for _, want := range []int{0, rows / 2, rows - 200} {
		for depth < want {
			l, err := c.Assessments(ctx, a, store.AssessmentFilter{}, cursor, 200)
			if err != nil {
				b.Fatal(err)
			}
			cursor, depth = l.Next, depth+len(l.Items)
		}
		b.Run(fmt.Sprint("after ", depth), func(b *testing.B) {
			for b.Loop() {
				if l, err := c.Assessments(ctx, a, store.AssessmentFilter{}, cursor, 50); err != nil || len(l.Items) != 50 {
					b.Fatal(len(l.Items), err)
				}
			}
		})
	}
}

// What an impact costs an assessment.
func BenchmarkImpact(b *testing.B) {
	doc, c := full(b), embedded(b)
	a := member(b, c, "Harbour", "edit")
	const rows = 1000
	var text strings.Builder
	for n := range rows {
		text.WriteString(as(doc, n) + "\n")
	}
	submit(b, c, a, club.NDJSON(strings.NewReader(text.String())), nil)
	src, err := c.Edited(ctx, a, throw, atMost("stride-off-line", 13))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := c.Impact(ctx, a, throw, src, func(int) error { return nil }); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.N)*rows/b.Elapsed().Seconds(), "assessments/s")
}
