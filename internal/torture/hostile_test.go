package torture_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"regexp"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// secret stands in everything of the first club that is text, and is never
// sent by the other: where it comes back to the other, it leaked.
const secret = "oriole-by-the-quarry-7f3a"

// inside is what an answer must not tell of the program.
var inside = regexp.MustCompile(`goroutine \d|\.go:\d+|runtime error|panic:|SQLITE_|SQLSTATE|pq: |sql: |/root/|rootcue/internal`)

// A siege is two clubs on one server: the first has secrets, the second keys.
type siege struct {
	*server
	b     *book
	ops   []operation
	known pool
	mine  []string // keys of the second club
	keys  []string // of the first, of all roles
}

// Generated requests, good ones damaged, against every operation of the
// OpenAPI document: no failure of the server's, nothing of its inside, nothing
// of the first club to the second.
func TestHostileRequests(t *testing.T) {
	for _, kind := range []string{"SQLite", "PostgreSQL"} {
		t.Run(kind, func(t *testing.T) {
			t.Parallel()
			at, _ := database(t, kind)
			g := besiege(t, at)
			const callers = 4
			var all sync.WaitGroup
			for i := range callers {
				all.Go(func() {
					chance := rand.New(rand.NewPCG(*seed, uint64(2000+i)))
					for n := range *requests / callers {
						g.attack(chance, g.ops[(n*callers+i)%len(g.ops)])
					}
				})
			}
			all.Wait()
			g.must(request{method: "GET", path: "/readyz"}, 200, nil)
			if at := strings.Index(g.log(), `"msg":"panic"`); at >= 0 {
				t.Errorf("a panic: %.3000s", g.log()[at:])
			}
			if out, err := g.command("verify"); err != nil {
				t.Errorf("the log does not verify: %v %s", err, out)
			}
			g.b.report(t, "hostile, "+kind)
		})
	}
}

// besiege fills the first club with secrets and notes what it has by name.
func besiege(t *testing.T, at string) *siege {
	s := newServer(t, at)
	other := s.firstKey("Hillside")
	s.start()
	g := &siege{server: s, b: newBook(), ops: operations(s), known: pool{}}
	for _, role := range []string{"read", "submit", "edit", "admin"} {
		g.keys = append(g.keys, s.keys(role, 12)...)
	}
	first := s.admin
	s.admin = other
	g.mine = s.keys("admin", 40)
	s.admin = first
	for i := range 6 {
		g.fill(fmt.Sprintf("R-%d", i), first, secret)
		g.fill(fmt.Sprintf("H-%d", i), other, "mine")
	}
	for _, list := range []string{"keys", "webhooks", "links", "assessments?limit=50", "rubrics", "policies"} {
		g.note(list, first)
		g.note(list, other)
	}
	g.known["limit"] = []string{"1", "2", "100", "0", "-1", "1001"}
	g.known["n"] = []string{"1", "2", "0", "99999999999999999999"}
	return g
}

// fill makes a player of whom everything tells the word.
func (g *siege) fill(ref, key, word string) {
	g.known["ref"] = append(g.known["ref"], ref)
	g.known["player"] = g.known["ref"]
	var sent struct{ Lines []line }
	g.must(request{method: "POST", path: "/v1/observations", key: key, body: fmt.Sprintf(`{"rubric": "throw-to-second", "player": {"ref": %q, "age": 14, "stature_cm": 163}, "on": "2026-05-09", "session": "s %s", "rater": "%s", "reps": [{"rep": 1, "clip": %q, "measures": {"stride_off_line": 17}}]}`, ref, word, word, word)}, 200, &sent)
	g.known["id"] = append(g.known["id"], sent.Lines[0].Observation, sent.Lines[0].Assessment)
	g.must(request{method: "PUT", path: "/v1/players/" + ref, key: key, body: fmt.Sprintf(`{"age": 14, "groups": [%q], "consent_scope": %q}`, word, word)}, 200, nil)
	g.must(request{method: "POST", path: "/v1/players/" + ref + "/throws", key: key, body: fmt.Sprintf(`[{"date": "2026-05-02", "kind": "pitches", "count": 43, "note": "=%s"}, {"date": "2026-05-02", "kind": "pain", "note": %q}]`, word, word)}, 200, &sent)
	g.known["id"] = append(g.known["id"], sent.Lines[0].ID, sent.Lines[1].ID)
	var made struct{ ID string }
	g.must(request{method: "POST", path: "/v1/webhooks", key: key, body: `{"url": "http://127.0.0.1:9/` + word + `"}`}, 200, &made)
	g.must(request{method: "POST", path: "/v1/keys", key: key, body: `{"role": "read", "label": "` + word + `"}`}, 200, nil)
}

// note keeps ids and names of a list.
func (g *siege) note(list, key string) {
	var of struct{ Items []struct{ ID, Name string } }
	g.must(request{method: "GET", path: "/v1/" + list, key: key}, 200, &of)
	for _, item := range of.Items {
		if item.ID != "" {
			g.known["id"] = append(g.known["id"], item.ID)
		}
		if item.Name != "" {
			g.known["name"] = append(g.known["name"], item.Name)
		}
	}
}

// attack sends one generated request and judges the answer.
func (g *siege) attack(chance *rand.Rand, op operation) {
	req, who, err := g.generate(chance, op)
	if err != nil {
		g.b.add("not sendable", 1)
		return
	}
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	res, err := attackers.Do(req.WithContext(ctx))
	if err != nil {
		// Bytes that net/http itself will not send are no request.
		if ctx.Err() != nil {
			g.b.fault("no answer in 30 s: %s %s", req.Method, req.URL)
		}
		g.b.add("not sendable", 1)
		return
	}
	defer res.Body.Close()
	body, err := whole(res)
	if ctx.Err() != nil {
		g.b.fault("no end of the answer in 30 s: %s %s", req.Method, req.URL)
	}
	g.b.add("sent", 1)
	g.b.add(fmt.Sprintf("%dxx", res.StatusCode/100), 1)
	sent := fmt.Sprintf("%s %s %v", req.Method, req.URL, req.Header)
	switch {
	case res.StatusCode >= 500:
		g.b.fault("%d: %s: %.400s", res.StatusCode, sent, body)
	case inside.Match(body) && !strings.HasPrefix(op.path, "/docs") && !strings.HasPrefix(op.path, "/static"):
		g.b.fault("tells of its inside: %s: %.400s", sent, body)
	case who == "other" && bytes.Contains(body, []byte(secret)):
		g.b.add("leaked", 1)
		g.b.fault("leaks: %s: %.400s", sent, body)
	case res.StatusCode == http.StatusRequestHeaderFieldsTooLarge: // net/http's own, before any handler
	case res.StatusCode >= 400 && req.Method != http.MethodHead && err == nil:
		var p struct{ Type, Title string }
		if res.Header.Get("Content-Type") != "application/problem+json" || json.Unmarshal(body, &p) != nil || p.Type == "" || p.Title == "" {
			g.b.fault("no problem document: %d %s: %s: %.300s", res.StatusCode, res.Header.Get("Content-Type"), sent, body)
		}
	}
}

// whole reads an answer, unpacked where the request asked for gzip itself: what
// leaks may leak packed.
func whole(res *http.Response) ([]byte, error) {
	body, err := io.ReadAll(res.Body)
	if err != nil || len(body) == 0 || res.Header.Get("Content-Encoding") != "gzip" {
		return body, err
	}
	z, err := gzip.NewReader(bytes.NewReader(body))
	if err != nil {
		return body, err
	}
	return io.ReadAll(z)
}

// attackers call from one address after the other, so that the limit on bad
// keys leaves most of them a chance.
var attackers = &http.Client{
	Transport: &http.Transport{MaxIdleConnsPerHost: 8, IdleConnTimeout: time.Second, DialContext: func(ctx context.Context, network, address string) (net.Conn, error) {
		n := from.Add(1)
		d := net.Dialer{LocalAddr: &net.TCPAddr{IP: net.IPv4(127, 1, byte(n>>8), byte(n))}}
		return d.DialContext(ctx, network, address)
	}, DisableKeepAlives: true},
	CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
}

var from atomic.Uint32

func (g *siege) generate(chance *rand.Rand, op operation) (req *http.Request, who string, err error) {
	method := op.method
	if chance.IntN(15) == 0 {
		method = []string{"GET", "POST", "PUT", "DELETE", "PATCH", "HEAD", "OPTIONS", "TRACE", "PROPFIND", "get"}[chance.IntN(10)]
	}
	body, media := g.body(chance, op)
	if op.path == "/v1/keys/{id}" && method == "DELETE" { // or no key would be left
		method = "GET"
	}
	encoding := ""
	switch chance.IntN(12) {
	case 0:
		body, encoding = pack(body), "gzip"
	case 1:
		encoding = []string{"gzip", "br", "gzip, gzip", "zstd", "identity"}[chance.IntN(5)]
	}
	if req, err = http.NewRequest(method, g.base+g.known.address(chance, op), strings.NewReader(body)); err != nil {
		return nil, "", err
	}
	set := func(name, value string) {
		if value != "" {
			req.Header.Set(name, value)
		}
	}
	set("Content-Type", media)
	set("Content-Encoding", encoding)
	for _, name := range []string{"Accept", "If-Match", "If-None-Match", "Idempotency-Key", "Accept-Encoding", "Prefer", "Range", "X-Request-Id", "traceparent", "X-Forwarded-For", "X-HTTP-Method-Override", "Cookie", "Origin"} {
		if chance.IntN(8) == 0 {
			set(name, headers[chance.IntN(len(headers))])
		}
	}
	who = "other"
	switch n := chance.IntN(20); {
	case n < 13:
		set("Authorization", "Bearer "+g.mine[chance.IntN(len(g.mine))])
	case n < 18:
		set("Authorization", "Bearer "+g.keys[chance.IntN(len(g.keys))])
		who = "own"
	case n < 19:
		set("Authorization", headers[chance.IntN(len(headers))])
	}
	return req, who, nil
}

var headers = []string{"*", "*/*", "application/json", "application/x-ndjson", "text/html;q=0.1", "text/csv", "application/yaml", ";;;", "q=1", `"v1-000000000000"`, `W/"v1"`, `"`, ",", "a, b, c", "first", strings.Repeat("k", 200),
	"gzip", "gzip;q=0", "respond-async", "bytes=0-10,5-7", "100-continue", "Bearer", "Bearer x", "Basic QWxhZGRpbg==", "127.0.0.1", "DELETE", "rootcue_session=x", "https://evil.example", "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01"}

// body is a damaged example of the operation, or of none.
func (g *siege) body(chance *rand.Rand, op operation) (body, media string) {
	for m, examples := range op.bodies {
		if media = m; len(examples) > 0 {
			body = examples[chance.IntN(len(examples))]
			break
		}
	}
	if chance.IntN(5) > 0 {
		body = mutate(chance, body, media)
	}
	if chance.IntN(12) == 0 {
		media = []string{"", "application/json; charset=utf-16", "text/plain", "application/x-www-form-urlencoded", "multipart/form-data", "application/problem+json", "x", "application/yaml", "text/csv", "application/x-ndjson"}[chance.IntN(10)]
	}
	return body, media
}
