package torture_test

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"strings"
	"testing"
	"time"
)

// zeros is a body of so many zeros as gzip packs them: a thousandth of it.
func zeros(t testing.TB, n int64, line string) string {
	t.Helper()
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	if _, err := io.WriteString(z, line); err != nil {
		t.Fatal(err)
	}
	block := make([]byte, 1<<20)
	for range n >> 20 {
		if _, err := z.Write(block); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// deep is a formula or document of so many brackets.
func deep(open, close string, n int) string {
	return strings.Repeat(open, n) + "1" + strings.Repeat(close, n)
}

// rubricWith is a rubric with a formula or a key of that text.
func rubricWith(costs string) string {
	return fmt.Sprintf(`rubric: bomb
title: Bomb
bands: {"11-12": {ages: [11, 12]}}
measures:
  change_time: {title: Catch to change of hands, unit: s, plausible: [0.05, 2], u: 0.02}
faults:
  slow-change: {title: The change of hands is slow, measure: change_time, at_most: {"11-12": 0.35}, costs: %q}
`, costs)
}

// aliases is YAML whose every line stands for ten of the line before.
func aliases() string {
	var b strings.Builder
	b.WriteString("rubric: bomb\na0: &a0 [x, x, x, x, x, x, x, x, x, x]\n")
	for i := range 12 {
		fmt.Fprintf(&b, "a%d: &a%d [%s]\n", i+1, i+1, strings.TrimSuffix(strings.Repeat(fmt.Sprintf("*a%d, ", i), 10), ", "))
	}
	return b.String()
}

// ones is a list of half a million values that are wrong there.
func ones(before, after string) string {
	return before + strings.Repeat("1,", 500000) + "1" + after
}

// What is small to send and large to read is refused before it is read.
func TestBombs(t *testing.T) {
	t.Parallel()
	at, _ := database(t, "SQLite")
	s := newServer(t, at)
	s.start()
	yaml := map[string]string{"Content-Type": "application/yaml"}
	gz := func(media string) map[string]string {
		return map[string]string{"Content-Type": media, "Content-Encoding": "gzip"}
	}
	for _, b := range []struct {
		name, path, body string
		header           map[string]string
		status           int
	}{
		{"gzip, a document", "/v1/observations", zeros(t, 256<<20, ""), gz("application/json"), 413},
		{"gzip, open to all", "/v1/assess", zeros(t, 256<<20, ""), gz("application/json"), 413},
		{"gzip, one endless line", "/v1/observations", zeros(t, 256<<20, `{"rubric": "`), gz("application/x-ndjson"), 200}, // the line is refused
		{"gzip, one endless row", "/v1/observations", zeros(t, 256<<20, "player,on\n"), gz("text/csv"), 0},
		{"gzip in gzip", "/v1/assess", pack(pack(strings.Repeat("0", 1<<20))), gz("application/json"), 400},
		{"deep JSON", "/v1/observations", deep("[", "]", 400000), nil, 0},
		{"deep YAML", "/v1/rubrics/check", deep("[", "]", 100000), yaml, 0},
		{"aliases of aliases", "/v1/rubrics/check", aliases(), yaml, 0},
		{"deep formula", "/v1/rubrics/check", rubricWith(deep("(", ")", 100000)), yaml, 0},
		{"long formula", "/v1/rubrics/check", rubricWith(strings.Repeat("1+", 100000) + "1"), yaml, 0},
		{"nested loops", "/v1/rubrics/check", rubricWith("all(1..1000000, all(1..1000000, # > 0))"), yaml, 0},
		{"a pattern that backtracks", "/v1/rubrics/check", rubricWith(`"` + strings.Repeat("a", 500) + `!" matches "(a+)+$"`), yaml, 0},
		{"powers of powers", "/v1/rubrics/check", rubricWith("9**9**9**9**9"), yaml, 0},
		{"ones, as observations", "/v1/observations", ones("[", "]"), nil, 422},
		{"ones, as reps", "/v1/assess", ones(`{"rubric": "throw-to-second", "player": {"ref": "P-1", "age": 12}, "on": "2026-05-09", "reps": [`, "]}"), nil, 422},
		{"ones, as a ledger", "/v1/workload", ones(`{"policies": ["pitch-smart"], "age": 12, "on": "2026-05-09", "ledger": [`, "]}"), nil, 422},
		{"ones, as throws", "/v1/players/P-1/throws", ones("[", "]"), nil, 422},
		{"rows, as throws", "/v1/players/P-1/throws", "date,kind,count\n" + strings.Repeat("1\n", 500000), map[string]string{"Content-Type": "text/csv"}, 422},
		{"many keys", "/v1/policies/check", "policy: x\n" + strings.Repeat("a: 1\n", 100000), yaml, 0},
	} {
		a, err := s.send(request{method: "POST", path: b.path, key: s.admin, body: b.body, header: b.header})
		if err != nil {
			t.Errorf("%s: %v", b.name, err)
			continue
		}
		if b.status != 0 && a.status != b.status || a.status >= 500 || len(a.body) > 4<<20 {
			t.Errorf("%s is answered %d, %d bytes: %.300s", b.name, a.status, len(a.body), a.body)
		}
	}
	if mib := peak(t, s); mib > 1024 {
		t.Errorf("the server needed %d MiB of memory", mib)
	} else {
		t.Logf("bombs: at most %d MiB of memory", mib)
	}
}

// peak is the most memory the server ever held, in MiB.
func peak(t testing.TB, s *server) (mib int) {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", s.pid()))
	if err != nil {
		t.Fatal(err)
	}
	_, after, _ := strings.Cut(string(text), "VmHWM:")
	if _, err := fmt.Sscan(after, &mib); err != nil {
		t.Fatal(err)
	}
	return mib >> 10
}

// Keys cannot be tried out: after twenty bad ones an address has to wait. Who
// came with a good key before is let through all the same, since a club's people
// share one address.
func TestTryingKeys(t *testing.T) {
	t.Parallel()
	at, _ := database(t, "SQLite")
	s := newServer(t, at)
	s.start()
	s.must(request{method: "GET", path: "/v1/keys", key: s.admin}, 200, nil)
	count := map[int]int{}
	for i := range 200 {
		a, err := s.send(request{method: "GET", path: "/v1/keys", key: fmt.Sprintf("rc_%043d", i)})
		if err != nil {
			t.Fatal(err)
		}
		if count[a.status]++; a.status == http.StatusTooManyRequests && a.header.Get("Retry-After") == "" {
			t.Error("429 without Retry-After")
		}
	}
	if count[401] > 30 || count[401]+count[429] != 200 {
		t.Errorf("200 bad keys are answered %v", count)
	}
	s.must(request{method: "GET", path: "/v1/keys", key: s.admin}, 200, nil)
	t.Logf("bad keys: %v", count)
}

// Clients that send or read as slowly as they can hold up nobody else, and are
// let go of in the end.
func TestSlowClients(t *testing.T) {
	t.Parallel()
	at, _ := database(t, "SQLite")
	s := newServer(t, at)
	s.start()
	var slow []net.Conn
	hold := func(n int, first string) {
		for range n {
			c, err := net.Dial("tcp", s.address)
			if err != nil {
				t.Fatal(err)
			}
			t.Cleanup(func() { c.Close() })
			if _, err := io.WriteString(c, first); err != nil {
				t.Fatal(err)
			}
			slow = append(slow, c)
		}
	}
	auth := "Authorization: Bearer " + s.admin + "\r\n"
	hold(150, "GET /v1/keys HTTP/1.1\r\nHost: x\r\nX-Slow: ")
	hold(100, "POST /v1/observations HTTP/1.1\r\nHost: x\r\n"+auth+"Content-Type: application/json\r\nContent-Length: 100000\r\n\r\n{")
	hold(50, "POST /v1/observations HTTP/1.1\r\nHost: x\r\n"+auth+"Content-Type: application/x-ndjson\r\nContent-Length: 100000\r\n\r\n{")
	hold(50, strings.Repeat("GET /openapi.json HTTP/1.1\r\nHost: x\r\n\r\n", 40)) // answers nobody reads
	d := newDrivers(s, newBook(), 1)[0]
	for range 60 {
		if err := d.observe(); err != nil {
			t.Fatal(err)
		}
		for _, c := range slow[:200] {
			_, _ = io.WriteString(c, "a") // those let go of are what is wanted
		}
	}
	d.b.report(t, "beside 350 slow clients")
	if n := len(d.b.observations); n != 60 {
		t.Errorf("%d of 60 observations were answered", n)
	}
	// A header has five seconds.
	_ = slow[0].SetReadDeadline(time.Now().Add(30 * time.Second))
	if _, err := io.Copy(io.Discard, slow[0]); err != nil {
		t.Errorf("a client whose header never ends is still held: %v", err)
	}
}
