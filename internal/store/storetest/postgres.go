package storetest

import (
	"fmt"
	"net/url"
	"os"
	"strings"
	"sync"
	"testing"
)

// Role owns the databases that Postgres makes. It is no superuser, since row
// security does not hold for one.
const Role = "rootcue"

// shared is the PostgreSQL server of this test binary, started by the first
// test that asks for a database. What it loses in a crash nobody misses.
var shared = sync.OnceValues(func() (*Cluster, error) {
	started = true
	return NewCluster("fsync=off", "synchronous_commit=off", "full_page_writes=off")
})

var started bool // the shared server was asked for

// Main runs the tests and then stops the server they started, if any. Call it
// from TestMain.
func Main(m *testing.M) {
	code := m.Run()
	if c, _ := lastShared(); c != nil {
		if err := c.Stop(); err != nil {
			fmt.Fprintln(os.Stderr, "stopping PostgreSQL:", err)
			code = 1
		}
	}
	os.Exit(code)
}

func lastShared() (*Cluster, error) {
	if !started {
		return nil, nil
	}
	return shared()
}

// Postgres gives the URL of a new empty database on a server of the tests'
// own, on a private socket. It never uses a server that happens to run. The
// database goes with the server: to drop each would take longer than the tests.
// When PostgreSQL is not installed, the test fails.
func Postgres(t testing.TB) string {
	t.Helper()
	c, err := shared()
	if err != nil {
		t.Fatal(err)
	}
	database, err := c.Database()
	if err != nil {
		t.Fatal(err)
	}
	return database
}

// Superuser gives the URL of the same database for the server's superuser.
func Superuser(t testing.TB, database string) string {
	t.Helper()
	u, err := url.Parse(database)
	if err != nil {
		t.Fatal(err)
	}
	c, err := shared()
	if err != nil {
		t.Fatal(err)
	}
	return c.URL(strings.TrimPrefix(u.Path, "/"), "postgres")
}
