package cli_test

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"
)

// The program as it is handed out, started and driven from outside.
func TestBinary(t *testing.T) {
	file := filepath.Join(t.TempDir(), "rootcue")
	if out, err := exec.Command("go", "build", "-o", file, "../..").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	b := binary(file)
	t.Run("demonstration", b.demonstration)
	t.Run("stops on interrupt", b.stopsOnInterrupt)
	t.Run("says why it cannot", b.saysWhyItCannot)
	t.Run("metrics port", b.metricsPort)
	t.Run("typed client", b.typedClient)
	t.Run("readme page", b.readmePage)
	t.Run("traces", b.traces)
	t.Run("traces without receiver", b.tracesWithoutReceiver)
	t.Run("traces off", b.tracesOff)
	t.Run("schema", b.schema)
}

// binary is the file of the built program.
type binary string

// A served program is one that runs and has said what it has to say.
type served struct {
	cmd     *exec.Cmd
	base    string
	welcome string
	errs    *bytes.Buffer
}

// serve starts the program on a free port and reads its welcome up to the
// curl line.
func (b binary) serve(t *testing.T, args ...string) *served {
	t.Helper()
	p := &served{cmd: exec.Command(string(b), append([]string{"serve", "--listen", "127.0.0.1:0"}, args...)...), errs: &bytes.Buffer{}}
	p.cmd.Stderr = p.errs
	p.cmd.Dir = t.TempDir()
	out, err := p.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := p.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = p.cmd.Process.Kill() }) // it has ended already when all went well
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		p.welcome += lines.Text() + "\n"
		if m := regexp.MustCompile(`^rootcue listens on (http://\S+)`).FindStringSubmatch(lines.Text()); m != nil {
			p.base = m[1]
		}
		if strings.Contains(lines.Text(), "curl ") {
			break
		}
	}
	if p.base == "" {
		t.Fatalf("the program does not say where it listens: %s%s", p.welcome, p.errs)
	}
	go func() { _, _ = io.Copy(io.Discard, out) }() // so that it never waits for a reader
	return p
}

// stop sends a signal and waits for a clean end.
func (p *served) stop(t *testing.T, signal os.Signal) {
	t.Helper()
	if err := p.cmd.Process.Signal(signal); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- p.cmd.Wait() }()
	select {
	case err := <-ended:
		if err != nil {
			t.Errorf("after %v the program ends with %v: %s", signal, err, p.errs)
		}
	case <-time.After(20 * time.Second):
		t.Fatalf("20 s after %v the program still runs", signal)
	}
}

// curlLine takes the printed curl line apart.
var curlLine = regexp.MustCompile(`curl -sS (http://\S+) -H '([^:']+): ([^']+)' -d '([^']+)'`)

// The line that the demonstration prints works as it stands.
func (b binary) demonstration(t *testing.T) {
	p := b.serve(t, "--demo")
	m := curlLine.FindStringSubmatch(p.welcome)
	if m == nil {
		t.Fatalf("no curl line in\n%s", p.welcome)
	}
	req, err := http.NewRequest("POST", m[1], strings.NewReader(m[4]))
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set(m[2], m[3])
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	var a struct {
		Findings []struct{ Fault, Verdict string }
	}
	if err := json.NewDecoder(res.Body).Decode(&a); err != nil || res.StatusCode != 200 || len(a.Findings) == 0 {
		t.Errorf("the printed line is answered %d, %v, %d findings", res.StatusCode, err, len(a.Findings))
	}
	for _, link := range regexp.MustCompile(`http://\S+`).FindAllString(p.welcome, -1) {
		if strings.HasSuffix(link, "/v1/assess") || link == p.base {
			continue
		}
		res, err := http.Get(link)
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		if res.StatusCode != 200 {
			t.Errorf("the printed address %s is answered %d", link, res.StatusCode)
		}
	}
	key := regexp.MustCompile(`edit +(\S+)`).FindStringSubmatch(p.welcome)
	var list struct{ Items []struct{ ID string } }
	p.ask(t, key[1], "GET", "/v1/tryouts", "", &list)
	var come struct{ Standing, Turns []any }
	p.ask(t, key[1], "GET", "/v1/tryouts/"+list.Items[0].ID+"/standing", "", &come)
	p.ask(t, key[1], "POST", "/v1/groups/catchers/plan", `{"practice": {"minutes": 60, "turn": 12, "helpers": 1}}`, &come)
	if len(come.Standing) != 12 || len(come.Turns) != 5 {
		t.Errorf("%d stand in the tryout, %d turns are planned", len(come.Standing), len(come.Turns))
	}
	p.stop(t, syscall.SIGTERM)
}

// ask sends a request with a key and reads the answer.
func (p *served) ask(t *testing.T, key, method, path, body string, into any) {
	t.Helper()
	req, err := http.NewRequest(method, strings.TrimSuffix(p.base, "/")+path, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Authorization", "Bearer "+key)
	req.Header.Set("Content-Type", "application/json")
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	if err := json.NewDecoder(res.Body).Decode(into); err != nil || res.StatusCode != 200 {
		t.Fatalf("%s %s is answered %d (%v)", method, path, res.StatusCode, err)
	}
}

func (b binary) stopsOnInterrupt(t *testing.T) {
	p := b.serve(t, "--demo")
	p.stop(t, os.Interrupt)
	for _, line := range strings.Split(strings.TrimSpace(p.errs.String()), "\n") {
		if line != "" && !json.Valid([]byte(line)) {
			t.Errorf("the log holds a line that is not JSON: %s", line)
		}
	}
}

// ends runs the program and gives its exit code and what it says of errors.
func (b binary) ends(t *testing.T, args ...string) (int, string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, string(b), args...)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	if err := cmd.Run(); err == nil {
		return 0, errs.String()
	}
	return cmd.ProcessState.ExitCode(), errs.String()
}

func (b binary) saysWhyItCannot(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	bad := t.TempDir()
	if err := os.WriteFile(filepath.Join(bad, "ours.yaml"), []byte("rubric: ours\ntitle: [\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		args []string
		code int
		says []string
	}{
		{"port taken", []string{"serve", "--demo", "--listen", taken.Addr().String()}, 3, []string{"--listen", taken.Addr().String() + " is taken"}},
		{"metrics port taken", []string{"serve", "--demo", "--listen", "127.0.0.1:0", "--metrics-listen", taken.Addr().String()}, 3, []string{"--metrics-listen", "is taken"}},
		{"metrics port taken, with a folder watched", []string{"serve", "--demo", "--rubrics", t.TempDir(), "--listen", "127.0.0.1:0", "--metrics-listen", taken.Addr().String()}, 3, []string{"--metrics-listen", "is taken"}},
		{"no address", []string{"serve", "--demo", "--listen", "nowhere"}, 3, []string{"--listen", "nowhere"}},
		{"no folder", []string{"serve", "--demo", "--rubrics", "/no/such/folder"}, 3, []string{"--rubrics", "/no/such/folder"}},
		{"faulty rubric", []string{"serve", "--demo", "--rubrics", bad}, 1, []string{"ours.yaml:", "title: ["}},
		{"unknown flag", []string{"serve", "--port", "80"}, 2, []string{"--port"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, says := b.ends(t, c.args...)
			if code != c.code {
				t.Errorf("exit code %d, wanted %d: %s", code, c.code, says)
			}
			for _, want := range c.says {
				if !strings.Contains(says, want) {
					t.Errorf("%q is not in %s", want, says)
				}
			}
		})
	}
}

// Metrics on a port of their own need no token.
func (b binary) metricsPort(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	address := l.Addr().String()
	l.Close() // free again for the program
	p := b.serve(t, "--demo", "--metrics-listen", address)
	res, err := http.Get("http://" + address + "/metrics")
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	if err != nil || !strings.Contains(string(text), "rootcue_requests_in_flight") {
		t.Errorf("metrics: %v, %.200s", err, text)
	}
	p.stop(t, syscall.SIGTERM)
}

func (b binary) schema(t *testing.T) {
	for _, document := range []string{"rubric", "observation", "assessment", "policy"} {
		out, err := exec.Command(string(b), "schema", document).Output()
		if err != nil || !json.Valid(out) || !bytes.Contains(out, []byte("https://json-schema.org/draft/2020-12/schema")) {
			t.Errorf("schema %s: %v, %.100s", document, err, out)
		}
	}
	if code, says := b.ends(t, "schema", "poem"); code != 2 || !strings.Contains(says, "observation") {
		t.Errorf("an unknown document: exit code %d, %s", code, says)
	}
}
