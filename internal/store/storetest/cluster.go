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
	"time"

	_ "github.com/lib/pq" // the driver "postgres"
)

// A Cluster is a PostgreSQL server of the tests' own, on a private socket, as
// whom no other program connects. It is safe in all goroutines.
type Cluster struct {
	Dir string // holds the data and the socket

	settings []string
	server   *exec.Cmd
	stopped  chan struct{} // closed when the server has ended
	made     int           // databases
	mu       sync.Mutex
}

// NewCluster makes and starts a server with settings such as "fsync=off".
func NewCluster(settings ...string) (*Cluster, error) {
	bin, err := binaries()
	if err != nil {
		return nil, err
	}
	c := &Cluster{settings: settings}
	// A short path: a socket's name has at most 107 bytes.
	if c.Dir, err = os.MkdirTemp("/tmp", "rootcue-pg-"); err != nil {
		return nil, err
	}
	attr, err := ordinaryUser(c.Dir)
	if err != nil {
		return c, err
	}
	initdb := c.command(attr, filepath.Join(bin, "initdb"), "-D", filepath.Join(c.Dir, "data"), "-U", "postgres", "-A", "trust", "-E", "UTF8", "--locale=C", "-N")
	if out, err := initdb.CombinedOutput(); err != nil {
		return c, fmt.Errorf("initdb: %w\n%s", err, out)
	}
	if err := c.Start(); err != nil {
		return c, err
	}
	return c, c.run(context.Background(), "CREATE ROLE "+Role+" LOGIN")
}

// Start starts the server, after Kill too, and waits until it answers.
func (c *Cluster) Start() error {
	bin, err := binaries()
	if err != nil {
		return err
	}
	attr, err := ordinaryUser(c.Dir)
	if err != nil {
		return err
	}
	args := []string{"-D", filepath.Join(c.Dir, "data"), "-k", c.Dir, "-c", "listen_addresses=", "-c", "max_connections=100"}
	for _, s := range c.settings {
		args = append(args, "-c", s)
	}
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	for {
		if err := c.launch(c.command(attr, filepath.Join(bin, "postgres"), args...)); err != nil {
			return err
		}
		err := c.wait(ctx)
		// The processes of a killed server take a moment to notice; until then
		// the next one refuses to start.
		if err == nil || ctx.Err() != nil || !errors.Is(err, errEnded) {
			return err
		}
		time.Sleep(100 * time.Millisecond)
	}
}

// Kill ends the server as a crash does: by SIGKILL, with nothing written that
// was not written before.
func (c *Cluster) Kill() error { return c.end(syscall.SIGKILL) }

// Stop ends the server and removes its data.
func (c *Cluster) Stop() error {
	// SIGQUIT is an immediate shutdown: nothing of the data is wanted any more.
	err := c.end(syscall.SIGQUIT)
	return errors.Join(err, os.RemoveAll(c.Dir))
}

func (c *Cluster) end(by syscall.Signal) error {
	if c.server == nil || c.server.Process == nil {
		return nil
	}
	if err := c.server.Process.Signal(by); err != nil && !errors.Is(err, os.ErrProcessDone) {
		return err
	}
	<-c.stopped
	return nil
}

// Database makes a new empty database, owned by Role, and gives its URL.
func (c *Cluster) Database() (string, error) {
	c.mu.Lock()
	c.made++
	name := fmt.Sprintf("test_%d", c.made)
	c.mu.Unlock()
	return c.URL(name, Role), c.run(context.Background(), "CREATE DATABASE "+name+" OWNER "+Role)
}

// URL is a database's URL for a role.
func (c *Cluster) URL(database, role string) string {
	q := url.Values{"host": {c.Dir}, "sslmode": {"disable"}}
	return (&url.URL{Scheme: "postgres", User: url.User(role), Path: "/" + database, RawQuery: q.Encode()}).String()
}

// Socket is where the server listens.
func (c *Cluster) Socket() string { return filepath.Join(c.Dir, ".s.PGSQL.5432") }

// run runs a statement as the superuser.
func (c *Cluster) run(ctx context.Context, statement string) error {
	db, err := sql.Open("postgres", c.URL("postgres", "postgres"))
	if err != nil {
		return err
	}
	defer db.Close()
	_, err = db.ExecContext(ctx, statement)
	return err
}

// launch starts the server from a thread that lives as long as the tests: the
// kernel stops the server when that thread ends, however the tests end.
func (c *Cluster) launch(server *exec.Cmd) error {
	log, err := os.OpenFile(filepath.Join(c.Dir, "log"), os.O_CREATE|os.O_WRONLY|os.O_APPEND, 0o600)
	if err != nil {
		return err
	}
	defer log.Close() // the server has its own descriptor
	server.Stdout, server.Stderr = log, log
	server.SysProcAttr.Pdeathsig = syscall.SIGQUIT
	stopped, started := make(chan struct{}), make(chan error)
	c.server, c.stopped = server, stopped
	go func() {
		runtime.LockOSThread()
		err := server.Start()
		started <- err
		if err == nil {
			server.Wait()
		}
		close(stopped)
	}()
	return <-started
}

var errEnded = errors.New("PostgreSQL ended")

func (c *Cluster) wait(ctx context.Context) error {
	for {
		err := c.run(ctx, "SELECT 1")
		if err == nil {
			return nil
		}
		select {
		case <-c.stopped:
			log, _ := os.ReadFile(filepath.Join(c.Dir, "log"))
			return fmt.Errorf("%w: %w\n%s", errEnded, err, log)
		case <-ctx.Done():
			return fmt.Errorf("PostgreSQL did not start within a minute: %w", err)
		case <-time.After(20 * time.Millisecond):
		}
	}
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

func (c *Cluster) command(as *syscall.Credential, name string, args ...string) *exec.Cmd {
	cmd := exec.Command(name, args...)
	cmd.Dir = c.Dir
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: as}
	for _, v := range os.Environ() { // PGDATA, PGHOST and the like name another server
		if !strings.HasPrefix(v, "PG") {
			cmd.Env = append(cmd.Env, v)
		}
	}
	return cmd
}
