package main

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"math"
	"net/http/httptest"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/jmoiron/sqlx"

	"rootcue/api"
	"rootcue/internal/club"
	"rootcue/internal/jobs"
	"rootcue/internal/store/sqlstore"
	"rootcue/internal/store/storetest"
)

var write = flag.Bool("write", false, "keep the costs measured")

// speedFolder holds what is measured of the whole program.
const speedFolder = "../../testdata/speed"

// How many requests, one after the other, and how many lines of one file make an
// average; the lowest of so many rounds counts, so that neighbours count less.
const (
	rounds       = 3
	requestsEach = 400
	linesEach    = 2560 // twenty batches
)

// BenchmarkUnitCosts measures requests one after the other in the server's own
// process, without a network, on a PostgreSQL as durable as it is by default.
// Times of processors hold on a busy machine too; what waits for the disk is to
// be measured on one that does nothing else.
func BenchmarkUnitCosts(b *testing.B) {
	for b.Loop() {
		cluster, err := storetest.NewCluster()
		if err != nil {
			b.Fatal(err)
		}
		url, err := cluster.Database()
		if err != nil {
			b.Fatal(err)
		}
		m := measured{Machine: fmt.Sprintf("%s, %d cores, %s/%s, %s, %s", processor(), runtime.NumCPU(), runtime.GOOS, runtime.GOARCH, runtime.Version(), time.Now().UTC().Format(time.DateOnly))}
		m.Embedded = newBench(b, filepath.Join(b.TempDir(), "club.db"), func() time.Duration { return 0 }).measure()
		m.Postgres = newBench(b, url, func() time.Duration { return serverTime(b, cluster.Dir) }).measure()
		m.Load = fmt.Sprintf("%.14s", read(b, "/proc/loadavg"))
		if err := cluster.Stop(); err != nil {
			b.Fatal(err)
		}
		text, err := json.MarshalIndent(m, "", "  ")
		if err != nil {
			b.Fatal(err)
		}
		if *write {
			if err := os.WriteFile(filepath.Join(speedFolder, costsName), append(text, '\n'), 0o644); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// processor is the model of this machine's.
func processor() string {
	info, _ := os.ReadFile("/proc/cpuinfo") // of Linux only
	_, rest, _ := strings.Cut(string(info), "model name\t: ")
	model, _, _ := strings.Cut(rest, "\n")
	return model
}

// A bench is a server on a database, and what is asked of it.
type bench struct {
	testing.TB
	db       *sqlstore.DB
	server   *api.Server
	key, doc string
	database func() time.Duration // processors' time that the database has had
	sent     int                  // observations
	last     string               // assessment
}

func newBench(b *testing.B, url string, database func() time.Duration) *bench {
	ctx := context.Background()
	db, err := sqlstore.Open(ctx, url)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { db.Close() })
	if err := errors.Join(db.Migrate(ctx), jobs.Migrate(ctx, db)); err != nil {
		b.Fatal(err)
	}
	clubs := club.New(db)
	if _, err := jobs.New(db, clubs, jobs.Options{}); err != nil {
		b.Fatal(err)
	}
	_, key, err := clubs.AddFirstKey(ctx, "Harbour", club.NewKey{Role: "admin"})
	if err != nil {
		b.Fatal(err)
	}
	shelf := api.ShippedShelf()
	doc := read(b, "../../testdata/observations/off-line.json")
	return &bench{TB: b, db: db, server: api.New(api.Options{Rubrics: shelf, Policies: shelf, Clubs: clubs}), key: key, doc: strings.Join(strings.Fields(doc), " "), database: database}
}

// measure finds all costs. The player that the document names is seen often, as
// most are; every further observation is of one more player.
func (b *bench) measure() (c costs) {
	for day := range seenAYear { // what is made once is not counted
		b.ask("POST", "/v1/observations", "application/json", strings.Replace(b.doc, "2026-05-09", fmt.Sprintf("2026-01-%02d", day+1), 1))
	}
	before, first := b.sizes(), b.sent
	for range rounds {
		b.round(&c)
	}
	for i, after := range b.sizes() {
		if after.Bytes -= before[i].Bytes; after.Bytes > 0 {
			after.Bytes = math.Round(after.Bytes / float64(b.sent-first))
			c.Shares = append(c.Shares, after)
		}
	}
	return c
}

// round measures everything once more and keeps the lower costs.
func (b *bench) round(c *costs) {
	var file strings.Builder
	for range linesEach {
		file.WriteString(b.next() + "\n")
	}
	c.Line.lower(b.each(linesEach, 1, func() { b.ask("POST", "/v1/observations", "application/x-ndjson", file.String()) }))
	c.Submit.lower(b.each(requestsEach, requestsEach, b.submit))
	c.List.lower(b.each(requestsEach, requestsEach, func() { b.ask("GET", "/v1/assessments?player=P-0733", "", "") }))
	c.Report.lower(b.each(requestsEach, requestsEach, func() { b.ask("GET", "/v1/assessments/"+b.last+"/report", "", "") }))
}

// lower keeps the cost that takes less in all.
func (c *cost) lower(than cost) {
	if sum := c.Server + c.Database + c.Wait; sum == 0 || than.Server+than.Database+than.Wait < sum {
		*c = than
	}
}

// next is the observation of one more player.
func (b *bench) next() string {
	b.sent++
	return strings.Replace(b.doc, "P-0733", fmt.Sprintf("B-%d", b.sent), 1)
}

func (b *bench) submit() {
	var answer api.Submitted
	if err := json.Unmarshal(b.ask("POST", "/v1/observations", "application/json", b.next()), &answer); err != nil {
		b.Fatal(err)
	}
	b.last = answer.Lines[0].Assessment
}

func (b *bench) ask(method, target, media, body string) []byte {
	r := httptest.NewRequest(method, target, strings.NewReader(body))
	r.Header.Set("Authorization", "Bearer "+b.key)
	if media != "" {
		r.Header.Set("Content-Type", media)
	}
	w := httptest.NewRecorder()
	if b.server.ServeHTTP(w, r); w.Code != 200 {
		b.Fatalf("%s %s: %d %s", method, target, w.Code, w.Body)
	}
	return w.Body.Bytes()
}

// each does something so many times, n things in all, and gives what one takes on
// average. Several processors may work for one at the same time.
func (b *bench) each(n float64, times int, do func()) cost {
	start, server, database := time.Now(), b.own(), b.database()
	for range times {
		do()
	}
	ms := func(d time.Duration) float64 { return math.Round(d.Seconds()*1e6/n) / 1000 }
	c := cost{Server: ms(b.own() - server), Database: ms(b.database() - database)}
	c.Wait = max(ms(time.Since(start)-time.Duration((c.Server+c.Database)*n*1e6)), 0)
	return c
}

// own is the time that processors spent on this process.
func (b *bench) own() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// serverTime is the time that processors spent on a PostgreSQL server: on its
// first process, with those that have ended, and on those that run (proc(5)).
func serverTime(b testing.TB, dir string) time.Duration {
	first, _, _ := strings.Cut(read(b, filepath.Join(dir, "data", "postmaster.pid")), "\n")
	stats, err := filepath.Glob("/proc/[0-9]*/stat")
	if err != nil {
		b.Fatal(err)
	}
	ticks := 0
	for _, file := range stats {
		text, err := os.ReadFile(file)
		if err != nil { // ended meanwhile
			continue
		}
		pid := filepath.Base(filepath.Dir(file))
		f := strings.Fields(string(text[strings.LastIndexByte(string(text), ')')+1:])) // from field 3 on
		if pid != first && f[1] != first {
			continue
		}
		for i := 11; i < 15; i++ { // utime, stime; cutime, cstime
			var n int
			if _, err := fmt.Sscan(f[i], &n); err == nil && (i < 13 || pid == first) {
				ticks += n
			}
		}
	}
	return time.Duration(ticks) * 10 * time.Millisecond // a hundred a second on every Linux we know
}

// sizes are those of all tables and indexes, in bytes and always in one order.
func (b *bench) sizes() (list []share) {
	db, query := sqlx.NewDb(b.db.Writer(), "sqlite"), `SELECT tbl_name AS "table", CASE type WHEN 'index' THEN m.name ELSE '' END AS "index",
		coalesce((SELECT sum(pgsize) FROM dbstat WHERE name = m.name), 0) AS bytes FROM sqlite_schema m WHERE type IN ('table', 'index') ORDER BY 1, 2`
	if err := db.Get(new(int), "SELECT 1 FROM sqlite_schema LIMIT 1"); err != nil {
		db, query = sqlx.NewDb(b.db.Writer(), "postgres"), `SELECT c.relname AS "table", '' AS "index", pg_table_size(c.oid)::float8 AS bytes
			FROM pg_class c WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace UNION ALL
			SELECT indrelid::regclass::text, indexrelid::regclass::text, pg_relation_size(indexrelid)::float8
			FROM pg_index JOIN pg_class c ON c.oid = indexrelid WHERE relnamespace = 'public'::regnamespace ORDER BY 1, 2`
	}
	if err := db.Select(&list, query); err != nil {
		b.Fatal(err)
	}
	return list
}

func read(b testing.TB, file string) string {
	text, err := os.ReadFile(file)
	if err != nil {
		b.Fatal(err)
	}
	return string(text)
}
