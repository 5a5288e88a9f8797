package torture_test

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"rootcue/internal/store/sqlstore"
	"rootcue/internal/store/storetest"
)

// further is a migration that this program does not have: it makes a table, a
// column beside those there are, and takes its time.
var further = map[string]string{
	"postgres": "-- +goose Up\nCREATE TABLE further (n bigint NOT NULL);\nALTER TABLE players ADD COLUMN further text;\nINSERT INTO further SELECT count(*) FROM players;\n",
	"sqlite":   "-- +goose Up\nCREATE TABLE further (n INTEGER NOT NULL) STRICT;\nALTER TABLE players ADD COLUMN further TEXT;\nINSERT INTO further WITH RECURSIVE i(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM i LIMIT 2000000) SELECT max(n) FROM i;\n",
}

// newer is the file of the program with that migration, built from the same
// sources by an overlay.
var newer = sync.OnceValues(func() (string, error) {
	over := map[string]string{}
	for kind, text := range further {
		over[fmt.Sprintf("migrations/%s/%05d_further.sql", kind, sqlstore.SchemaVersion()+1)] = text
	}
	return built("newer", over)
})

// built is the file of a program from the same sources, with some of them, or
// further ones, laid over.
func built(name string, over map[string]string) (string, error) {
	file, err := program()
	if err != nil {
		return "", err
	}
	dir := filepath.Dir(file)
	replace := map[string]string{}
	for source, text := range over {
		at, err := filepath.Abs(filepath.Join("../..", source))
		if err != nil {
			return "", err
		}
		replace[at] = filepath.Join(dir, fmt.Sprintf("%s-%d", name, len(replace)))
		if err := os.WriteFile(replace[at], []byte(text), 0o600); err != nil {
			return "", err
		}
	}
	list, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		return "", err
	}
	overlay := filepath.Join(dir, name+".json")
	if err := os.WriteFile(overlay, list, 0o600); err != nil {
		return "", err
	}
	file = filepath.Join(dir, name)
	build := exec.Command("go", "build", "-overlay", overlay, "-ldflags", "-X rootcue/internal/cli.loopback=yes", "-o", file, "../..")
	if out, err := build.CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w\n%s", err, out)
	}
	return file, nil
}

// upgraded is a further server on a database, of the newer program.
func upgraded(t *testing.T, at string) *server {
	t.Helper()
	s := newServer(t, at)
	file, err := newer()
	if err != nil {
		t.Fatal(err)
	}
	s.file = file
	return s
}

// While the older program serves, the newer one migrates and takes over. What the
// older still does is done right; it says that it is not ready, so that a proxy
// turns to the newer one; and once stopped it does not start again.
func TestRollingUpgrade(t *testing.T) {
	t.Parallel()
	at, c := database(t, "PostgreSQL")
	old, young, b := newServer(t, at), upgraded(t, at), newBook()
	old.start()
	drivers := newDrivers(old, b, 4)
	stop, stopped := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(stopped)
		drive(drivers[:2], stop)
	}()
	if out, err := young.command("migrate"); err != nil || !strings.Contains(out, fmt.Sprint("version ", sqlstore.SchemaVersion()+1)) {
		t.Errorf("the newer program migrates: %v %s", err, out)
	}
	old.must(request{method: "GET", path: "/readyz"}, 503, nil)
	young.start()
	young.must(request{method: "GET", path: "/readyz"}, 200, nil)
	for _, d := range drivers[2:] {
		d.s = young
	}
	both := make(chan struct{})
	time.AfterFunc(500*time.Millisecond, func() { close(both) })
	drive(drivers[2:], both)
	close(stop)
	<-stopped
	settle(t, b, drivers)
	old.signal(syscall.SIGTERM)
	refusesToStart(t, old)
	db := connect(t, at, c)
	rest(t, b, db)
	check(t, young, b, db, nil)
	b.report(t, "rolling upgrade")
}

// refusesToStart holds a program to saying that its database is too new for it.
func refusesToStart(t *testing.T, s *server) {
	t.Helper()
	want := fmt.Sprintf("it is at %d, this program knows %d; use a newer program", sqlstore.SchemaVersion()+1, sqlstore.SchemaVersion())
	if err := s.tryStart(); err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("the older program on a newer database: %v; wanted: %s", err, want)
	}
	if out, err := s.command("verify"); err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("a command of the older program on a newer database: %v %s", err, out)
	}
}

// A migration that is killed half-way has done nothing: the older program starts
// as before, and the newer one's next start does all of it.
func TestKilledMigration(t *testing.T) {
	for _, kind := range []string{"SQLite", "PostgreSQL"} {
		t.Run(kind, func(t *testing.T) {
			t.Parallel()
			at, c := database(t, kind)
			old, young, b := newServer(t, at), upgraded(t, at), newBook()
			old.start()
			d := newDrivers(old, b, 1)[0]
			for range 3 {
				if err := d.observe(); err != nil {
					t.Fatal(err)
				}
			}
			old.signal(syscall.SIGTERM)
			db := connect(t, at, c)
			killMigration(t, young, db, c)
			within(t, time.Minute, "the half migration to be undone", func() bool { return tablesNamed(t, db, c, "further") == 0 })
			if n := count(t, db, `SELECT max(version_id) FROM schema_version`); int64(n) != sqlstore.SchemaVersion() {
				t.Errorf("after half a migration the schema is at %d", n)
			}
			old.start()
			if err := d.observe(); err != nil {
				t.Fatal(err)
			}
			old.signal(syscall.SIGTERM)
			young.start()
			if n, rows := count(t, db, `SELECT max(version_id) FROM schema_version`), count(t, db, `SELECT count(*) FROM further`); int64(n) != sqlstore.SchemaVersion()+1 || rows != 1 {
				t.Errorf("after the next start the schema is at %d, with %d rows", n, rows)
			}
			refusesToStart(t, old)
			rest(t, b, db)
			check(t, young, b, db, nil)
			b.report(t, "killed migration, "+kind)
		})
	}
}

// killMigration starts a migration and kills it once it is in its midst: at
// PostgreSQL where it waits for the test, at SQLite while it holds the file.
func killMigration(t *testing.T, s *server, db *sql.DB, c *storetest.Cluster) {
	t.Helper()
	midst := func() bool {
		conn, err := db.Conn(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		if _, err := conn.ExecContext(t.Context(), "PRAGMA busy_timeout = 0"); err != nil {
			t.Fatal(err)
		}
		if _, err := conn.ExecContext(t.Context(), "BEGIN IMMEDIATE"); err != nil {
			return true
		}
		_, err = conn.ExecContext(t.Context(), "ROLLBACK")
		return err != nil
	}
	if c != nil {
		tx, err := db.Begin()
		if err != nil {
			t.Fatal(err)
		}
		defer tx.Rollback() // then what waits goes on, and finds nobody
		if _, err := tx.Exec("LOCK TABLE players IN ACCESS SHARE MODE"); err != nil {
			t.Fatal(err)
		}
		midst = func() bool {
			return count(t, db, `SELECT count(*) FROM pg_stat_activity WHERE wait_event_type = 'Lock' AND query LIKE '%further%'`) > 0
		}
	}
	migrate := exec.Command(s.file, "migrate", "--database", s.database)
	if err := migrate.Start(); err != nil {
		t.Fatal(err)
	}
	within(t, time.Minute, "the migration to be under way", midst)
	if err := migrate.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	if err := migrate.Wait(); err == nil || migrate.ProcessState.Exited() {
		t.Fatal("the migration was done before it was killed")
	}
}

func tablesNamed(t *testing.T, db *sql.DB, c *storetest.Cluster, name string) int {
	t.Helper()
	if c != nil {
		return count(t, db, `SELECT count(*) FROM pg_tables WHERE tablename = '`+name+`'`)
	}
	return count(t, db, `SELECT count(*) FROM sqlite_master WHERE name = '`+name+`'`)
}
