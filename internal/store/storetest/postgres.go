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

// A server is a cluster of this test binary, started by the first test that asks
// for a database.
type server struct {
	settings []string
	once     sync.Once
	cluster  *Cluster
	err      error
}

var (
	shared  = &server{settings: []string{"fsync=off", "synchronous_commit=off", "full_page_writes=off"}} // what it loses in a crash nobody misses
	durable = &server{}
)

func (s *server) started() (*Cluster, error) {
	s.once.Do(func() { s.cluster, s.err = NewCluster(s.settings...) })
	return s.cluster, s.err
}

// Main runs the tests and then stops the servers they started, if any. Call it
// from TestMain.
func Main(m *testing.M) {
	code := m.Run()
	for _, s := range []*server{shared, durable} {
		if s.cluster == nil {
			continue
		}
		if err := s.cluster.Stop(); err != nil {
			fmt.Fprintln(os.Stderr, "stopping PostgreSQL:", err)
			code = 1
		}
	}
	os.Exit(code)
}

// Postgres gives the URL of a new empty database on a server of the tests'
// own, on a private socket. It never uses a server that happens to run. The
// database goes with the server: to drop each would take longer than the tests.
// When PostgreSQL is not installed, the test fails.
func Postgres(t testing.TB) string { return shared.database(t) }

// Durable is Postgres on a server that is as durable as it is by default, for
// what is measured.
func Durable(t testing.TB) string { return durable.database(t) }

func (s *server) database(t testing.TB) string {
	t.Helper()
	c, err := s.started()
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
	c, err := shared.started()
	if err != nil {
		t.Fatal(err)
	}
	return c.URL(strings.TrimPrefix(u.Path, "/"), "postgres")
}
