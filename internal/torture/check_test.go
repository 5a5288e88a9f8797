package torture_test

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	_ "github.com/lib/pq"  // the driver "postgres"
	_ "modernc.org/sqlite" // the driver "sqlite"

	"rootcue/internal/store/storetest"
)

// connect opens a database behind the server's back, to count in it.
func connect(t testing.TB, at string, c *storetest.Cluster) *sql.DB {
	t.Helper()
	driver, dsn := "sqlite", "file:"+at+"?_pragma=busy_timeout(10000)"
	if c != nil {
		u, err := url.Parse(at)
		if err != nil {
			t.Fatal(err)
		}
		driver, dsn = "postgres", c.URL(strings.TrimPrefix(u.Path, "/"), "postgres") // whom row security does not hold back
	}
	db, err := sql.Open(driver, dsn)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	return db
}

// none are counts that have to be zero when everything has come to rest.
var none = []struct{ what, query string }{
	{"sessions with two observations in force", `SELECT count(*) FROM (SELECT 1 FROM observations WHERE superseded_by IS NULL AND session <> '' GROUP BY club_id, player_ref, session HAVING count(*) > 1) AS x`},
	{"observations without an assessment in force", `SELECT count(*) FROM observations o WHERE superseded_by IS NULL AND NOT EXISTS (SELECT 1 FROM assessments a WHERE a.club_id = o.club_id AND a.observation_id = o.id AND status = 'current')`},
	{"assessments in force without a verdict", `SELECT count(*) FROM assessments a WHERE status = 'current' AND NOT EXISTS (SELECT 1 FROM verdicts v WHERE v.club_id = a.club_id AND v.assessment_id = a.id) AND NOT EXISTS (SELECT 1 FROM fresh_verdicts f WHERE f.club_id = a.club_id AND f.assessment_id = a.id)`},
	{"observations that the log does not tell of", `SELECT count(*) FROM observations o WHERE NOT EXISTS (SELECT 1 FROM changes c WHERE c.club_id = o.club_id AND c.entity = 'observation/' || o.id)`},
	{"ledger entries that the log does not tell of", `SELECT count(*) FROM throws t WHERE source <> 'assessed' AND NOT EXISTS (SELECT 1 FROM changes c WHERE c.club_id = t.club_id AND c.entity = 'throw/' || t.id)`},
	{"ledger entries there twice", `SELECT count(*) FROM (SELECT 1 FROM throws WHERE note <> '' AND superseded_by IS NULL GROUP BY club_id, player_ref, note HAVING count(*) > 1) AS x`},
	{"observations whose throws are not counted once", `SELECT abs((SELECT count(*) FROM observations WHERE superseded_by IS NULL) - (SELECT count(*) FROM throws WHERE source = 'assessed' AND superseded_by IS NULL))`},
	{"rubrics with a gap between versions", `SELECT count(*) FROM (SELECT 1 FROM documents GROUP BY club_id, kind, name HAVING count(*) <> max(version)) AS x`},
	{"messages waiting", `SELECT count(*) FROM deliveries WHERE state = 'waiting'`},
	{"messages given up", `SELECT count(*) FROM deliveries WHERE state = 'failed'`},
	{"jobs not ended", `SELECT count(*) FROM river_job WHERE state NOT IN ('completed', 'cancelled', 'discarded')`},
	{"jobs given up", `SELECT count(*) FROM river_job WHERE state = 'discarded'`},
}

func count(t testing.TB, db *sql.DB, query string) (n int) {
	t.Helper()
	if err := db.QueryRow(query).Scan(&n); err != nil {
		t.Fatalf("%s: %v", query, err)
	}
	return n
}

// show logs rows of one text.
func show(t testing.TB, db *sql.DB, query string) {
	t.Helper()
	rows, err := db.Query(query)
	if err != nil {
		t.Error(err)
		return
	}
	defer rows.Close()
	for rows.Next() {
		var says string
		if err := rows.Scan(&says); err != nil {
			t.Error(err)
		}
		t.Log(says)
	}
}

// fewer waits until nothing is left, as long as it gets less or more is done
// meanwhile: one job may judge all that a club has.
func fewer(t testing.TB, b *book, what string, left, done func() int) {
	t.Helper()
	const patience = 5 * time.Minute
	least, most, since := left(), done(), time.Now()
	for n := least; n > 0; n = left() {
		if more := done(); n < least || more > most {
			least, most, since = n, more, time.Now()
		}
		if time.Since(since) > patience {
			b.report(t, what)
			t.Fatalf("%d %s, and no fewer for %s", n, what, patience)
		}
		time.Sleep(time.Second)
	}
}

// rest waits until jobs and messages are done. A job that was running when its
// server was killed is taken up within two minutes; the mark of a request whose
// server or database was killed holds for one.
func rest(t testing.TB, b *book, db *sql.DB) {
	t.Helper()
	fewer(t, b, "marks of requests under way", func() int {
		return count(t, db, `SELECT count(*) FROM answers WHERE in_flight AND expires > '`+time.Now().UTC().Format("2006-01-02T15:04:05")+`'`)
	}, nothing)
	defer func() {
		if t.Failed() {
			show(t, db, `SELECT kind || ' ' || state || ', attempt ' || attempt || ', due ' || scheduled_at || ', ' || args || ' ' || coalesce(metadata, '') || ' ' || coalesce(errors, '') FROM (
				SELECT kind, CAST(state AS text) AS state, CAST(attempt AS text) AS attempt, CAST(scheduled_at AS text) AS scheduled_at, CAST(args AS text) AS args, CAST(metadata AS text) AS metadata, CAST(errors AS text) AS errors
				FROM river_job WHERE state NOT IN ('completed', 'cancelled', 'discarded')) AS x LIMIT 10`)
			show(t, db, `SELECT 'message ' || id || ' ' || state FROM deliveries WHERE state = 'waiting' LIMIT 10`)
		}
	}()
	fewer(t, b, "jobs and messages waiting", func() int {
		return count(t, db, `SELECT count(*) FROM river_job WHERE state NOT IN ('completed', 'cancelled', 'discarded')`) + count(t, db, `SELECT count(*) FROM deliveries WHERE state = 'waiting'`)
	}, func() int { return count(t, db, `SELECT count(*) FROM changes`) })
}

func nothing() int { return 0 }

// settle lets the drivers get their last answers, as slowly as they are told.
func settle(t testing.TB, b *book, drivers []*driver) {
	t.Helper()
	fewer(t, b, "requests not answered", func() (left int) {
		for _, d := range drivers {
			again := d.again
			d.again = nil
			for _, st := range again {
				done, err := d.attempt(st)
				if err != nil {
					t.Fatalf("the server does not answer: %v", err)
				}
				if !done {
					d.again = append(d.again, st)
				}
			}
			left += len(d.again)
		}
		return left
	}, nothing)
}

// check holds a server at rest against the book: all that was acknowledged is
// there, once and whole.
func check(t testing.TB, s *server, b *book, db *sql.DB, r *receiver) {
	t.Helper()
	for _, c := range none {
		if n := count(t, db, c.query); n != 0 {
			b.fault("%d %s", n, c.what)
		}
	}
	keys := s.keys("admin", 60)
	var all sync.WaitGroup
	rows := b.expected(b.observations)
	for i := range 4 {
		all.Go(func() {
			for j := i; j < len(rows); j += 4 {
				s.find(b, keys[j%len(keys)], rows[j])
			}
		})
	}
	all.Wait()
	s.findThrows(b, keys)
	s.findVersions(b)
	s.findErased(b, keys)
	for id := range b.jobs {
		var j struct{ State, Problem string }
		s.must(request{method: "GET", path: "/v1/jobs/" + id, key: keys[0]}, 200, &j)
		if j.State != "done" {
			b.fault("job %s is %s: %s", id, j.State, j.Problem)
		}
	}
	if r != nil {
		b.messages(t, r, db)
	}
	if out, err := s.command("verify"); err != nil {
		b.fault("the log does not verify: %v", err)
	} else {
		t.Log(strings.TrimSpace(out))
	}
	if at := strings.Index(s.log(), `"msg":"panic"`); at >= 0 {
		b.fault("a panic: %.1500s", s.log()[at:])
	}
}

// find reads an acknowledged observation and makes its assessment once more.
func (s *server) find(b *book, key string, k kept) {
	a, err := s.send(request{method: "GET", path: "/v1/observations/" + k.id, key: key})
	if err != nil || a.status != 200 || !strings.Contains(string(a.body), k.player) {
		b.add("lost", 1)
		b.fault("lost: observation %s is answered %d, %v: %.200s", k.id, a.status, err, a.body)
		return
	}
	var replay struct{ Same bool }
	a, err = s.send(request{method: "GET", path: "/v1/assessments/" + k.assessment + "/replay", key: key})
	if err != nil || a.status != 200 || json.Unmarshal(a.body, &replay) != nil || !replay.Same {
		b.fault("assessment %s, made once more, is answered %d, %v: %.200s", k.assessment, a.status, err, a.body)
	}
	b.add("replayed", 1)
}

func (s *server) findThrows(b *book, keys []string) {
	known := map[string]int{}
	for i := range 60 {
		var of struct{ Items []struct{ Note string } }
		a, err := s.send(request{method: "GET", path: fmt.Sprintf("/v1/players/L-%03d/throws", i), key: keys[i%len(keys)]})
		if err != nil || a.status != 200 && a.status != 404 || a.status == 200 && json.Unmarshal(a.body, &of) != nil {
			b.fault("the ledger of player %d is answered %d, %v", i, a.status, err)
		}
		for _, item := range of.Items {
			known[item.Note]++
		}
	}
	for note := range b.throws {
		if known[note] != 1 {
			b.add("lost", 1)
			b.fault("ledger entry %s is there %d times", note, known[note])
		}
	}
}

func (s *server) findVersions(b *book) {
	for rubric, reasons := range b.reasons {
		var of struct {
			Items []struct {
				Version int
				Why     string
			}
		}
		s.must(request{method: "GET", path: "/v1/rubrics/" + rubric + "/versions", key: s.admin}, 200, &of)
		found := map[string][]int{}
		for _, v := range of.Items {
			found[v.Why] = append(found[v.Why], v.Version)
		}
		for reason, n := range reasons {
			if len(found[reason]) != 1 || found[reason][0] != n {
				b.add("lost", 1)
				b.fault("version %d of %s, for the reason %s, is found as %v", n, rubric, reason, found[reason])
			}
		}
	}
}

func (s *server) findErased(b *book, keys []string) {
	i := 0
	for player := range b.erased {
		i++
		if a, err := s.send(request{method: "GET", path: "/v1/players/" + player, key: keys[i%len(keys)]}); err != nil || a.status != 404 {
			b.fault("the erased player %s is answered %d, %v", player, a.status, err)
		}
	}
}

// messages holds what the receiver got against what was stored: each message at
// least once, every one signed.
func (b *book) messages(t testing.TB, r *receiver, db *sql.DB) {
	rows, err := db.Query(`SELECT id FROM deliveries`)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	r.mu.Lock()
	defer r.mu.Unlock()
	for rows.Next() {
		var id string
		if err := rows.Scan(&id); err != nil {
			t.Fatal(err)
		}
		n := r.times[id]
		b.count["messages"]++
		b.count["messages sent more than once"] += min(max(n-1, 0), 1)
		if n == 0 {
			b.faults = append(b.faults, "message "+id+" is marked as sent and never came")
		}
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	if r.unsigned > 0 {
		b.faults = append(b.faults, fmt.Sprintf("%d messages without a good signature", r.unsigned))
	}
}
