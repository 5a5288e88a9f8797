package api_test

import (
	"bytes"
	"context"
	"fmt"
	"log/slog"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"rootcue/api"
	"rootcue/internal/store"
)

// logged asks a server with troublesome routes and returns answer and log.
func logged(t *testing.T, method, path, body string, header ...string) (*httptest.ResponseRecorder, string) {
	t.Helper()
	var log bytes.Buffer
	s := newServer(t, func(o *api.Options) { o.Log = slog.New(slog.NewJSONHandler(&log, nil)) })
	addTrouble(s)
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	for i := 0; i < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w, log.String()
}

// The server's own failures say nothing of its inside to the caller, and
// everything to the log.
func TestFailuresStayInside(t *testing.T) {
	for path, inLog := range map[string]string{"/test/panic": "fixture_test.go", "/test/error": "the database says"} {
		w, log := logged(t, "GET", path, "")
		p := problem(t, w)
		if w.Code != 500 || p.Type != "/problems/internal" || p.RequestID == "" || p.RequestID != w.Header().Get("X-Request-Id") {
			t.Errorf("%s: %d %+v", path, w.Code, p)
		}
		if strings.Contains(w.Body.String(), "secret") || strings.Contains(w.Body.String(), "goroutine") || strings.Contains(w.Body.String(), ".go") {
			t.Errorf("%s tells its inside: %s", path, w.Body)
		}
		if !strings.Contains(log, inLog) || !strings.Contains(log, p.RequestID) {
			t.Errorf("%s: the log lacks %q or the request's id: %s", path, inLog, log)
		}
	}
}

// A database that is away is no failure of the server's: the caller is told to
// come again, and when.
func TestDatabaseAway(t *testing.T) {
	for _, err := range []error{store.ErrUnavailable, store.ErrFull, store.ErrReadOnly, store.ErrDamaged} {
		s := newServer(t, nil)
		api.Add(s, api.Route{Method: "GET", Path: "/test/away", ID: "away"}, func(context.Context, *api.None) (*api.Answer[string], error) {
			if err == store.ErrFull { // as the store gives it
				return nil, fmt.Errorf("%w: %w", store.ErrUnavailable, err)
			}
			return nil, fmt.Errorf("a test: %w", err)
		})
		w := httptest.NewRecorder()
		s.ServeHTTP(w, httptest.NewRequest("GET", "/test/away", nil))
		if p := problem(t, w); w.Code != 503 || p.Type != "/problems/unavailable" || w.Header().Get("Retry-After") == "" {
			t.Errorf("%v is answered %d %s, Retry-After %q", err, w.Code, w.Body, w.Header().Get("Retry-After"))
		}
	}
}

// The log names routes, never references, addresses, bodies or keys.
func TestLogHoldsNothingPersonal(t *testing.T) {
	_, a := logged(t, "GET", "/test/players/P-0733?x=Doe", "", "Authorization", "Bearer key-secret", "User-Agent", "phone of Doe")
	_, b := logged(t, "POST", "/v1/assess", strings.Replace(string(example(t, "assess.request")), `"age": 14`, `"age": 140`, 1))
	for _, personal := range []string{"P-0733", "Doe", "key-secret", "192.0.2.1", "140"} {
		if strings.Contains(a+b, personal) {
			t.Errorf("the log holds %q: %s", personal, a+b)
		}
	}
	if !strings.Contains(a, `"route":"/test/players/:ref"`) || !strings.Contains(b, `"route":"/v1/assess"`) {
		t.Errorf("the log does not name the routes: %s", a+b)
	}
}

func TestTraceID(t *testing.T) {
	const id = "4bf92f3577b34da6a3ce929d0e0e4736" // the example of W3C Trace Context, 3.2
	for field, want := range map[string]bool{
		"00-" + id + "-00f067aa0ba902b7-01": true, "cc-" + id + "-00f067aa0ba902b7-01-what-the-future-holds": true,
		"ff-" + id + "-00f067aa0ba902b7-01": false, "00-" + strings.Repeat("0", 32) + "-00f067aa0ba902b7-01": false,
		"00-" + strings.ToUpper(id) + "-00f067aa0ba902b7-01": false, "": false, "rubbish": false,
	} {
		_, log := logged(t, "GET", "/healthz", "", "traceparent", field)
		if got := strings.Contains(log, `"trace_id":"`+id+`"`); got != want {
			t.Errorf("traceparent %q: logged %v", field, got)
		}
	}
}

func TestRequestID(t *testing.T) {
	made := regexp.MustCompile(`^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{12}$`)
	for sent, kept := range map[string]bool{"club-site.000123": true, "": false, "short": false, "with blank in it": false, strings.Repeat("x", 65): false, "a\nb-forged-line": false} {
		w := ask(t, plainServer(), "GET", "/nowhere", "", "X-Request-Id", sent)
		got := w.Header().Get("X-Request-Id")
		if (got == sent) != kept || !kept && !made.MatchString(got) {
			t.Errorf("sent %q, got %q", sent, got)
		}
		if p := problem(t, w); p.RequestID != got {
			t.Errorf("the problem names %q, the header %q", p.RequestID, got)
		}
	}
}

// What a problem quotes of a request may be no UTF-8; the answer is.
func TestBytesThatAreNoText(t *testing.T) {
	for _, target := range []string{"/v1/rubrics?%ED%A0%80=1", "/v1/rubrics?%C3%28", "/v1/rubrics/%FF%FE"} {
		w := ask(t, newServer(t, nil), "GET", target, "")
		if p := problem(t, w); w.Code >= 500 || !utf8.Valid(w.Body.Bytes()) || p.Detail == "" {
			t.Errorf("%s is answered %d: %q", target, w.Code, w.Body)
		}
	}
}

func TestReadiness(t *testing.T) {
	ready := error(nil)
	s := newServer(t, func(o *api.Options) { o.Ready = func() error { return ready } })
	if w := ask(t, s, "GET", "/readyz", ""); w.Code != 200 {
		t.Errorf("status %d", w.Code)
	}
	ready = errTest
	if w := ask(t, s, "GET", "/readyz", ""); w.Code != 503 || w.Header().Get("Retry-After") == "" || strings.Contains(w.Body.String(), errTest.Error()) {
		t.Errorf("status %d, %v, %s", w.Code, w.Header(), w.Body)
	}
	if w := ask(t, s, "GET", "/healthz", ""); w.Code != 200 {
		t.Errorf("a server that is alive says %d", w.Code)
	}
}

// A club's references may hold any character, sent escaped.
func TestReferencesInPaths(t *testing.T) {
	for sent, want := range map[string]string{"P-0733": "P-0733", "2026%2F14": "2026/14", "%C3%BCber%20uns": "über uns", "50%25": "50%", "a+b": "a+b", "..%2F..": "../..", "%3Cb%3E": "<b>"} {
		w, _ := logged(t, "GET", "/test/players/"+sent, "")
		if got := w.Body.String(); w.Code != 200 || got != `"`+want+`"` {
			t.Errorf("%s is read as %s (%d), wanted %s", sent, got, w.Code, want)
		}
	}
}
