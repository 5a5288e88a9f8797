package torture_test

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// A server is the program serving a database at one address, through any number
// of starts.
type server struct {
	t        testing.TB
	database string
	address  string
	base     string
	logFile  string
	env      []string
	file     string // the program
	admin    string // first key

	mu  sync.Mutex
	cmd *exec.Cmd
}

// newServer prepares a server of a database and makes the club's first key.
func newServer(t testing.TB, database string) *server {
	t.Helper()
	file, err := program()
	if err != nil {
		t.Fatal(err)
	}
	s := &server{t: t, database: database, file: file, address: freePort(t), logFile: filepath.Join(t.TempDir(), "log")}
	s.base = "http://" + s.address
	s.admin = s.firstKey(clubName)
	t.Cleanup(s.kill)
	return s
}

func freePort(t testing.TB) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

// command runs the program to its end and gives what it prints.
func (s *server) command(args ...string) (string, error) {
	var out, errs bytes.Buffer
	cmd := exec.Command(s.file, args...)
	cmd.Env = append(os.Environ(), "ROOTCUE_DATABASE="+s.database)
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil {
		return out.String(), fmt.Errorf("rootcue %s: %w: %s%s", args[0], err, out.String(), errs.String())
	}
	return out.String(), nil
}

func (s *server) firstKey(club string) string {
	s.t.Helper()
	out, err := s.command("key", "add", "--club", club, "--role", "admin")
	if err != nil {
		s.t.Fatal(err)
	}
	return strings.TrimSpace(out)
}

// start starts the program and waits until it can answer.
func (s *server) start() {
	s.t.Helper()
	if err := s.tryStart(); err != nil {
		s.t.Fatal(err)
	}
}

func (s *server) tryStart() error {
	log, err := os.OpenFile(s.logFile, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	defer log.Close() // the program has its own descriptor
	cmd := exec.Command(s.file, "serve", "--listen", s.address)
	cmd.Env = append(append(os.Environ(), "ROOTCUE_DATABASE="+s.database, "ROOTCUE_METRICS_TOKEN=torture"), s.env...)
	cmd.Stderr = log
	out, err := cmd.StdoutPipe()
	if err != nil {
		return err
	}
	if err := cmd.Start(); err != nil {
		return err
	}
	line, _ := bufio.NewReader(out).ReadString('\n') // without it the program has ended
	if !strings.Contains(line, "listens on") {
		err := cmd.Wait()
		said, _ := os.ReadFile(s.logFile)
		return fmt.Errorf("the program does not start: %v: %s", err, last(said, 600))
	}
	s.mu.Lock()
	s.cmd = cmd
	s.mu.Unlock()
	return nil
}

func last(b []byte, n int) []byte { return b[max(0, len(b)-n):] }

// kill ends the program by SIGKILL and waits until it is gone.
func (s *server) kill() { s.signal(syscall.SIGKILL) }

func (s *server) signal(by os.Signal) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.cmd == nil {
		return
	}
	_ = s.cmd.Process.Signal(by) // gone already is what is wanted
	_ = s.cmd.Wait()             // how it ended is no news
	s.cmd = nil
}

// pid is the program's process.
func (s *server) pid() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.cmd.Process.Pid
}

// log is what the program said of errors.
func (s *server) log() string {
	b, err := os.ReadFile(s.logFile)
	if err != nil {
		s.t.Fatal(err)
	}
	return string(b)
}

// A request is one to be sent, perhaps several times.
type request struct {
	method, path string
	key          string // bearer
	body         string
	header       map[string]string
}

// An answer is what came back, whole.
type answer struct {
	status int
	header http.Header
	body   []byte
}

var client = &http.Client{Timeout: 2 * time.Minute, Transport: &http.Transport{MaxIdleConnsPerHost: 64, MaxConnsPerHost: 0}}

// open sends a request by a client and leaves the body to be read.
func (s *server) open(by *http.Client, r request) (*http.Response, error) {
	req, err := http.NewRequest(r.method, s.base+r.path, strings.NewReader(r.body))
	if err != nil {
		return nil, err
	}
	if r.key != "" {
		req.Header.Set("Authorization", "Bearer "+r.key)
	}
	if r.body != "" {
		req.Header.Set("Content-Type", "application/json")
	}
	for name, value := range r.header {
		req.Header.Set(name, value)
	}
	return by.Do(req)
}

// send sends a request and reads its answer to the end.
func (s *server) send(r request) (answer, error) { return s.sendBy(client, r) }

func (s *server) sendBy(by *http.Client, r request) (answer, error) {
	res, err := s.open(by, r)
	if err != nil {
		return answer{}, err
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	return answer{res.StatusCode, res.Header, body}, err
}

// must sends a request that has to be answered with the given status, and reads
// its JSON into v unless that is nil.
func (s *server) must(r request, status int, v any) answer {
	s.t.Helper()
	a, err := s.send(r)
	if err != nil || a.status != status {
		s.t.Fatalf("%s %s: %v, %d, wanted %d: %.600s", r.method, r.path, err, a.status, status, a.body)
	}
	if v != nil {
		if err := json.Unmarshal(a.body, v); err != nil {
			s.t.Fatalf("%s %s: %v: %.300s", r.method, r.path, err, a.body)
		}
	}
	return a
}

// keys makes n keys of a role, so that no limit of a single one is met.
func (s *server) keys(role string, n int) (out []string) {
	s.t.Helper()
	for range n {
		var made struct{ Key string }
		s.must(request{method: "POST", path: "/v1/keys", key: s.admin, body: `{"label": "torture", "role": "` + role + `"}`}, 200, &made)
		out = append(out, made.Key)
	}
	return out
}
