package torture_test

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"rootcue/internal/store/storetest"
)

var (
	seed     = flag.Uint64("seed", 1, "where chance starts")
	rounds   = flag.Int("rounds", 2, "kills on each database")
	requests = flag.Int("requests", 400, "generated requests")
)

// club, its database and its server are named alike in every test.
const clubName = "Harbour"

// program is the file of the built program. Its only difference from the one
// that is handed out is that messages may go to this machine, where the tests
// receive them.
var program = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "rootcue-torture-")
	if err != nil {
		return "", err
	}
	file := filepath.Join(dir, "rootcue")
	build := exec.Command("go", "build", "-ldflags", "-X rootcue/internal/cli.loopback=yes", "-o", file, "../..")
	if out, err := build.CombinedOutput(); err != nil {
		return file, fmt.Errorf("%w\n%s", err, out)
	}
	return file, nil
})

// running is the PostgreSQL servers to stop at the end.
var running struct {
	sync.Mutex
	all []*storetest.Cluster
}

func TestMain(m *testing.M) {
	flag.Parse()
	code := m.Run()
	var err error
	for _, c := range running.all {
		err = errors.Join(err, c.Stop())
	}
	if file, _ := program(); file != "" {
		err = errors.Join(err, os.RemoveAll(filepath.Dir(file)))
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		code = 1
	}
	os.Exit(code)
}

// cluster starts a PostgreSQL server that keeps what it has acknowledged. That
// a power cut keeps it too is fsync's matter, and no process can test it.
func cluster(t testing.TB) *storetest.Cluster {
	t.Helper()
	c, err := storetest.NewCluster("fsync=off")
	if c != nil {
		running.Lock()
		running.all = append(running.all, c)
		running.Unlock()
	}
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// database makes an empty database of a kind, "SQLite" or "PostgreSQL"; its
// server is nil for the first.
func database(t testing.TB, kind string) (string, *storetest.Cluster) {
	t.Helper()
	if kind == "SQLite" {
		return filepath.Join(t.TempDir(), "club.db"), nil
	}
	c := cluster(t)
	url, err := c.Database()
	if err != nil {
		t.Fatal(err)
	}
	return url, c
}

// within waits for something to become true.
func within(t testing.TB, long time.Duration, what string, is func() bool) {
	t.Helper()
	for deadline := time.Now().Add(long); !is(); time.Sleep(50 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatalf("waited %s in vain for %s", long, what)
		}
	}
}
