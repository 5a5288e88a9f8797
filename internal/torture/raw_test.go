package torture_test

import (
	"bufio"
	"io"
	"net"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"
)

// hidden is a request within the body of another; a server that answers it
// takes the sender's word for where a request ends.
const hidden = "GET /v1/smuggled HTTP/1.1\r\nHost: x\r\n\r\n"

// shapes are requests that two servers in a row may read differently (RFC 9112,
// section 11.2), and others that are none. Each is answered once, or not at all.
var shapes = map[string]string{
	"length and chunks":       "POST /v1/assess HTTP/1.1\r\nHost: x\r\nContent-Length: 6\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n" + hidden,
	"two lengths":             "POST /v1/assess HTTP/1.1\r\nHost: x\r\nContent-Length: 2\r\nContent-Length: 40\r\n\r\n{}" + hidden,
	"lengths in a list":       "POST /v1/assess HTTP/1.1\r\nHost: x\r\nContent-Length: 2, 40\r\n\r\n{}" + hidden,
	"a signed length":         "POST /v1/assess HTTP/1.1\r\nHost: x\r\nContent-Length: +2\r\n\r\n{}" + hidden,
	"a negative length":       "POST /v1/assess HTTP/1.1\r\nHost: x\r\nContent-Length: -1\r\n\r\n{}" + hidden,
	"a length in hex":         "POST /v1/assess HTTP/1.1\r\nHost: x\r\nContent-Length: 0x2\r\n\r\n{}" + hidden,
	"an overflowing length":   "POST /v1/assess HTTP/1.1\r\nHost: x\r\nContent-Length: 18446744073709551618\r\n\r\n{}" + hidden,
	"an odd coding":           "POST /v1/assess HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: xchunked\r\n\r\n0\r\n\r\n" + hidden,
	"two codings":             "POST /v1/assess HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\nTransfer-Encoding: identity\r\n\r\n0\r\n\r\n" + hidden,
	"a coding with a tab":     "POST /v1/assess HTTP/1.1\r\nHost: x\r\nTransfer-Encoding:\x0bchunked\r\n\r\n0\r\n\r\n" + hidden,
	"a blank before a colon":  "POST /v1/assess HTTP/1.1\r\nHost: x\r\nTransfer-Encoding : chunked\r\n\r\n0\r\n\r\n" + hidden,
	"a folded field":          "POST /v1/assess HTTP/1.1\r\nHost: x\r\nX: 1\r\n Transfer-Encoding: chunked\r\nContent-Length: 2\r\n\r\n{}",
	"chunks in HTTP/1.0":      "POST /v1/assess HTTP/1.0\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n" + hidden,
	"an overflowing chunk":    "POST /v1/assess HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\nfffffffffffffffff\r\n{}",
	"a chunk with no number":  "POST /v1/assess HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n{}\r\n0\r\n\r\n",
	"a chunk too short":       "POST /v1/assess HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\n1\r\n{}\r\n0\r\n\r\n",
	"an endless chunk line":   "POST /v1/assess HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\n1;" + strings.Repeat("a", 100000),
	"a bare carriage return":  "GET /healthz HTTP/1.1\r\nHost: x\rX-Other: y\r\n\r\n",
	"a NUL in a field":        "GET /healthz HTTP/1.1\r\nHost: x\r\nX: a\x00b\r\n\r\n",
	"no host":                 "GET /healthz HTTP/1.1\r\n\r\n",
	"two hosts":               "GET /healthz HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n",
	"another host's address":  "GET http://169.254.169.254/latest HTTP/1.1\r\nHost: x\r\n\r\n",
	"a tunnel":                "CONNECT 127.0.0.1:22 HTTP/1.1\r\nHost: x\r\n\r\n",
	"an older protocol":       "GET /healthz\r\n\r\n",
	"a newer protocol":        "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
	"an upgrade":              "GET /healthz HTTP/1.1\r\nHost: x\r\nConnection: Upgrade, HTTP2-Settings\r\nUpgrade: h2c\r\nHTTP2-Settings: AAMAAABkAAQAAP__\r\n\r\n",
	"a star":                  "OPTIONS * HTTP/1.1\r\nHost: x\r\n\r\n",
	"no path":                 "GET HTTP/1.1\r\nHost: x\r\n\r\n",
	"a blank in the path":     "GET /a b HTTP/1.1\r\nHost: x\r\n\r\n",
	"a hidden field in path":  "GET /healthz%0d%0aX-Injected:%20yes HTTP/1.1\r\nHost: x\r\n\r\n",
	"a climbing path":         "GET /static/../../../../etc/passwd HTTP/1.1\r\nHost: x\r\n\r\n",
	"a climbing coded path":   "GET /static/%2e%2e/%2e%2e/%2e%2e/etc/passwd HTTP/1.1\r\nHost: x\r\n\r\n",
	"a climbing rubric":       "GET /v1/rubrics/..%2f..%2f..%2fetc%2fpasswd HTTP/1.1\r\nHost: x\r\n\r\n",
	"two slashes":             "GET //evil.example/%2f.. HTTP/1.1\r\nHost: x\r\n\r\n",
	"a header too large":      "GET /healthz HTTP/1.1\r\nHost: x\r\nX: " + strings.Repeat("a", 100<<10) + "\r\n\r\n",
	"too many fields":         "GET /healthz HTTP/1.1\r\nHost: x\r\n" + strings.Repeat("X: a\r\n", 20000) + "\r\n",
	"an address too long":     "GET /" + strings.Repeat("a", 60<<10) + " HTTP/1.1\r\nHost: x\r\n\r\n",
	"noise":                   "\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + strings.Repeat("\x00\xff", 200),
	"words of another server": "EHLO x\r\nMAIL FROM:<a@b.example>\r\n",
}

// Bytes that are hardly requests bring nothing down, and no request hidden in
// another's body is answered.
func TestRawRequests(t *testing.T) {
	t.Parallel()
	at, _ := database(t, "SQLite")
	s := newServer(t, at)
	s.start()
	var all sync.WaitGroup
	for name, shape := range shapes {
		all.Go(func() { judge(t, s, name, shape) })
	}
	all.Wait()
	s.must(request{method: "GET", path: "/readyz"}, 200, nil)
	if strings.Contains(s.log(), "smuggled") || strings.Contains(s.log(), `"msg":"panic"`) {
		t.Errorf("the log: %.2000s", s.log())
	}
	t.Logf("raw: %d shapes", len(shapes))
}

// judge sends a shape and looks at what is answered.
func judge(t *testing.T, s *server, name, shape string) {
	t.Helper()
	got := exchange(t, s, shape)
	if len(got) > 1 {
		t.Errorf("%s: %d answers to one request", name, len(got))
	}
	for _, r := range got {
		// 501 and 505 are the standard's own answers to an unknown coding and
		// version (RFC 9112, 6.1; RFC 9110, 15.6.6).
		if r.code >= 500 && r.code != 501 && r.code != 505 {
			t.Errorf("%s: answered %d", name, r.code)
		}
		if inside.MatchString(r.body) || strings.Contains(r.body, "root:") {
			t.Errorf("%s: tells too much: %.300s", name, r.body)
		}
		if r.header.Get("X-Injected") != "" {
			t.Errorf("%s: a field came in by the path", name)
		}
	}
}

type reply struct {
	code   int
	header http.Header
	body   string
}

// exchange sends bytes and reads the answers until the server closes, or for a
// second.
func exchange(t *testing.T, s *server, raw string) (got []reply) {
	t.Helper()
	conn, err := net.Dial("tcp", s.address)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	_, _ = io.WriteString(conn, raw) // it may be closed half-way
	_ = conn.SetReadDeadline(time.Now().Add(time.Second))
	r := bufio.NewReader(conn)
	for {
		res, err := http.ReadResponse(r, nil)
		if err != nil {
			break
		}
		body, _ := io.ReadAll(res.Body) // what came of it is judged
		got = append(got, reply{res.StatusCode, res.Header, string(body)})
	}
	return got
}
