package api_test

import (
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"

	"rootcue/api"
)

// writer is a server with one operation that writes, and how often it did.
func writer(t *testing.T, write func() error) (*api.Server, *atomic.Int32) {
	t.Helper()
	var done atomic.Int32
	s := newServer(t, func(o *api.Options) { o.Keys, o.Answers = keys, newMemory() })
	addRoles(s, func() error {
		done.Add(1)
		return write()
	})
	return s, &done
}

func putNote(s *api.Server, bearer, key, body string) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", "/test/notes", strings.NewReader(body))
	r.Header.Set("Authorization", "Bearer "+bearer)
	r.Header.Set("Content-Type", "application/json")
	if key != "" {
		r.Header.Set("Idempotency-Key", key)
	}
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

func TestSameRequestTwice(t *testing.T) {
	s, done := writer(t, func() error { return nil })
	first := putNote(s, "key-submit", "n-1", `{"text": "low"}`)
	again := putNote(s, "key-submit", "n-1", `{"text": "low"}`)
	if first.Code != 200 || again.Code != 200 || again.Body.String() != first.Body.String() || done.Load() != 1 {
		t.Errorf("first %d %s, again %d %s, written %d times", first.Code, first.Body, again.Code, again.Body, done.Load())
	}
	if again.Header().Get("Idempotency-Replayed") != "true" || first.Header().Get("Idempotency-Replayed") != "" || again.Header().Get("Content-Type") != first.Header().Get("Content-Type") {
		t.Errorf("again has the header %v", again.Header())
	}
	if w := putNote(s, "other", "n-1", `{"text": "low"}`); w.Code != 200 || done.Load() != 2 {
		t.Errorf("another club's same key: %d, written %d times", w.Code, done.Load())
	}
	if w := putNote(s, "key-submit", "", `{"text": "low"}`); w.Code != 200 || done.Load() != 3 {
		t.Errorf("without a key: %d, written %d times", w.Code, done.Load())
	}
	w := putNote(s, "key-submit", "n-1", `{"text": "high"}`)
	if p := problem(t, w); w.Code != 422 || p.Type != "/problems/key-reused" || done.Load() != 3 {
		t.Errorf("another body under the key: %d %s", w.Code, w.Body)
	}
	for _, bad := range []string{strings.Repeat("x", 129), "with blank", "ümlaut"} {
		if w := putNote(s, "key-submit", bad, `{"text": "low"}`); w.Code != 422 {
			t.Errorf("the key %q is answered %d", bad, w.Code)
		}
	}
}

// What a client did wrong is answered the same again; what the server did
// wrong may be tried again.
func TestWhatIsKept(t *testing.T) {
	var fail error
	s, done := writer(t, func() error { return fail })
	bad := putNote(s, "key-submit", "n-1", `{"text": ""}`)
	if again := putNote(s, "key-submit", "n-1", `{"text": ""}`); bad.Code != 422 || again.Body.String() != bad.Body.String() {
		t.Errorf("bad %s, again %s", bad.Body, again.Body)
	}
	fail = errTest
	if w := putNote(s, "key-submit", "n-2", `{"text": "low"}`); w.Code != 500 {
		t.Errorf("status %d", w.Code)
	}
	fail = nil
	if w := putNote(s, "key-submit", "n-2", `{"text": "low"}`); w.Code != 200 || done.Load() != 2 {
		t.Errorf("tried again: %d, written %d times", w.Code, done.Load())
	}
	crash := true
	s, done = writer(t, func() error {
		if crash {
			panic("half-way")
		}
		return nil
	})
	putNote(s, "key-submit", "n-3", `{"text": "low"}`)
	crash = false
	if w := putNote(s, "key-submit", "n-3", `{"text": "low"}`); w.Code != 200 || done.Load() != 2 {
		t.Errorf("after a panic: %d, written %d times", w.Code, done.Load())
	}
}

func TestInFlight(t *testing.T) {
	inside, leave := make(chan bool), make(chan bool)
	s, _ := writer(t, func() error {
		inside <- true
		<-leave
		return nil
	})
	answered := make(chan int)
	go func() { answered <- putNote(s, "key-submit", "n-1", `{"text": "low"}`).Code }()
	<-inside
	w := putNote(s, "key-submit", "n-1", `{"text": "low"}`)
	if w.Code != 409 || problem(t, w).Type != "/problems/in-flight" || w.Header().Get("Retry-After") == "" {
		t.Errorf("while in flight: %d %s", w.Code, w.Body)
	}
	leave <- true
	if code := <-answered; code != 200 {
		t.Errorf("the first is answered %d", code)
	}
}

// A body that the library validates has the same problems as any other.
func TestValidatedBody(t *testing.T) {
	s, _ := writer(t, func() error { return nil })
	for body, want := range map[string]struct {
		status  int
		pointer string
	}{
		`{"text": ""}`:                         {422, "/text"},
		`{"text": "low", "count": -1}`:         {422, "/count"},
		`{"text": "low", "colour": "red"}`:     {422, "/colour"},
		`{"text": 3}`:                          {422, "/text"},
		`{}`:                                   {422, ""},
		`[]`:                                   {422, ""},
		`{"text": "low", "text": "high"}`:      {400, ""},
		`{"text": "low"} {}`:                   {400, ""},
		`{"text": NaN}`:                        {400, ""},
		``:                                     {400, ""},
		"{\"text\": \"\xff\"}":                 {400, ""},
		`{"text": "low", "count": 1e999}`:      {422, "/count"},
		`{"text": "low", "count": 1.5}`:        {422, "/count"},
		`{"Text": "low"}`:                      {422, ""},
		`{"text": "low", "a/b": 1, "c~d": 2}`:  {422, "/a~1b"},
		`{"text": "low", "count": "a\u0000b"}`: {422, "/count"},
	} {
		w := putNote(s, "key-submit", "", body)
		p := problem(t, w)
		if w.Code != want.status || len(p.Errors) == 0 {
			t.Errorf("%s is answered %d: %s", body, w.Code, w.Body)
			continue
		}
		found := false
		for _, slip := range p.Errors {
			found = found || slip.Pointer == want.pointer
		}
		if !found {
			t.Errorf("%s: no slip at %q: %s", body, want.pointer, w.Body)
		}
	}
}
