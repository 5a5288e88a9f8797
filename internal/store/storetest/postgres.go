package storetest

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	_ "github.com/lib/pq" // the driver "postgres"
)

// Role owns the databases that Postgres makes. It is no superuser, since row
// security does not hold for one.
const Role = "rootcue"

// cluster is the PostgreSQL server of this test binary, started by the first
// test that asks for a database.
var cluster struct {
	once    sync.Once
	err     error
	dir     string // holds the data and the socket
	server  *exec.Cmd
	stopped chan struct{} // closed when the server has ended
	made    int           // databases
	sync.Mutex
}

// Main runs the tests and then stops the server they started, if any. Call it
// from TestMain.
func Main(m *testing.M) {
	code := m.Run()
	if err := stop(); err != nil {
		fmt.Fprintln(os.Stderr, "stopping PostgreSQL:", err)
		code = 1
	}
	os.Exit(code)
}

// Postgres gives the URL of a new empty database on a server of the tests'
// own, on a private socket. It never uses a server that happens to run. The
// database goes with the server: to drop each would take longer than the tests.
// When PostgreSQL is not installed, the test fails.
func Postgres(t testing.TB) string {
	t.Helper()
	cluster.once.Do(func() { cluster.err = start() })
	if cluster.err != nil {
		t.Fatal(cluster.err)
	}
	cluster.Lock()
	cluster.made++
	name := fmt.Sprintf("test_%d", cluster.made)
	cluster.Unlock()
	superuser(t, "CREATE DATABASE "+name+" OWNER "+Role)
	return at(name, Role)
}

// Superuser gives the URL of the same database for the server's superuser.
func Superuser(t testing.TB, database string) string {
	t.Helper()
	u, err := url.Parse(database)
	if err != nil {
		t.Fatal(err)
	}
	return at(strings.TrimPrefix(u.Path, "/"), "postgres")
}

func at(database, role string) string {
	q := url.Values{"host": {cluster.dir}, "sslmode": {"disable"}}
	return (&url.URL{Scheme: "postgres", User: url.User(role), Path: "/" + database, RawQuery: q.Encode()}).String()
}

func superuser(t testing.TB, statement string) {
	t.Helper()
	if err := run(context.Background(), statement); err != nil {
		t.Fatalf("%s: %v", statement, err)
	}
}

func run(ctx context.Context, statement string) error {
	db, err := sql.Open("postgres", at("postgres", "postgres"))
	if err != nil {
		return err
	}
	defer db.Close()
	_, err = db.ExecContext(ctx, statement)
	return err
}

func start() error {
	bin, err := binaries()
	if err != nil {
		return err
	}
	// A short path: a socket's name has at most 107 bytes.
	if cluster.dir, err = os.MkdirTemp("/tmp", "rootcue-pg-"); err != nil {
		return err
	}
	attr, err := ordinaryUser(cluster.dir)
	if err != nil {
		return err
	}
	data := filepath.Join(cluster.dir, "data")
	initdb := command(attr, filepath.Join(bin, "initdb"), "-D", data, "-U", "postgres", "-A", "trust", "-E", "UTF8", "--locale=C", "-N")
	if out, err := initdb.CombinedOutput(); err != nil {
		return fmt.Errorf("initdb: %w\n%s", err, out)
	}
	server := command(attr, filepath.Join(bin, "postgres"), "-D", data, "-k", cluster.dir, "-c", "listen_addresses=",
		"-c", "fsync=off", "-c", "synchronous_commit=off", "-c", "full_page_writes=off", "-c", "max_connections=100")
	if err := launch(server); err != nil {
		return err
	}
	return wait()
}

// launch starts the server from a thread that lives as long as the tests: the
// kernel stops the server when that thread ends, however the tests end.
func launch(server *exec.Cmd) error {
	log, err := os.Create(filepath.Join(cluster.dir, "log"))
	if err != nil {
		return err
	}
	server.Stdout, server.Stderr = log, log
	server.SysProcAttr.Pdeathsig = syscall.SIGQUIT
	cluster.server, cluster.stopped = server, make(chan struct{})
	started := make(chan error)
	go func() {
		runtime.LockOSThread()
		err := server.Start()
		started <- err
		if err == nil {
			server.Wait()
		}
		close(cluster.stopped)
	}()
	return <-started
}

func wait() error {
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	for {
		err := run(ctx, "CREATE ROLE "+Role+" LOGIN")
		if err == nil {
			return nil
		}
		select {
		case <-cluster.stopped:
			log, _ := os.ReadFile(filepath.Join(cluster.dir, "log"))
			return fmt.Errorf("PostgreSQL ended: %w\n%s", err, log)
		case <-ctx.Done():
			return fmt.Errorf("PostgreSQL did not start within a minute: %w", err)
		case <-time.After(20 * time.Millisecond):
		}
	}
}

func stop() error {
	if cluster.dir == "" {
		return nil
	}
	if cluster.server != nil && cluster.server.Process != nil {
		// SIGQUIT is an immediate shutdown: nothing of the data is wanted any more.
		if err := cluster.server.Process.Signal(syscall.SIGQUIT); err != nil && !errors.Is(err, os.ErrProcessDone) {
			return err
		}
		<-cluster.stopped
	}
	return os.RemoveAll(cluster.dir)
}

// binaries finds the newest PostgreSQL where Debian puts it, or else in PATH.
func binaries() (string, error) {
	dirs, err := filepath.Glob("/usr/lib/postgresql/*/bin")
	if err != nil {
		return "", err
	}
	slices.SortFunc(dirs, func(a, b string) int { return major(a) - major(b) })
	if initdb, err := exec.LookPath("initdb"); err == nil {
		dirs = append([]string{filepath.Dir(initdb)}, dirs...)
	}
	for _, dir := range slices.Backward(dirs) {
		if _, err := exec.LookPath(filepath.Join(dir, "initdb")); err == nil {
			return dir, nil
		}
	}
	return "", errors.New("these tests need PostgreSQL 14 or newer, and neither /usr/lib/postgresql/*/bin nor PATH has initdb; install it with: apt-get update && apt-get install -y postgresql")
}

func major(dir string) int {
	n, _ := strconv.Atoi(filepath.Base(filepath.Dir(dir)))
	return n
}

// ordinaryUser gives the directory to the user postgres when the tests run as
// root, as whom PostgreSQL refuses to run.
func ordinaryUser(dir string) (*syscall.Credential, error) {
	if os.Geteuid() != 0 {
		return nil, nil
	}
	u, err := user.Lookup("postgres")
	if err != nil {
		return nil, fmt.Errorf("PostgreSQL refuses to run as root and there is no user postgres: %w", err)
	}
	uid, err := strconv.ParseUint(u.Uid, 10, 32)
	if err != nil {
		return nil, err
	}
	gid, err := strconv.ParseUint(u.Gid, 10, 32)
	if err != nil {
		return nil, err
	}
	return &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}, os.Chown(dir, int(uid), int(gid))
}

func command(as *syscall.Credential, name string, args ...string) *exec.Cmd {
	c := exec.Command(name, args...)
	c.Dir = cluster.dir
	c.SysProcAttr = &syscall.SysProcAttr{Credential: as}
	for _, v := range os.Environ() { // PGDATA, PGHOST and the like name another server
		if !strings.HasPrefix(v, "PG") {
			c.Env = append(c.Env, v)
		}
	}
	return c
}
