package api

import (
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"
)

func TestTurns(t *testing.T) {
	ctx := context.Background()
	of := newTurns(2, 2, time.Minute)
	for range 2 {
		if !of.take(ctx) {
			t.Fatal("two turns are not had at once")
		}
	}
	had := make(chan int, 2)
	wait := func(i int) {
		t.Helper()
		go func() {
			if of.take(ctx) {
				had <- i
			}
		}()
		for of.waiting() < i {
			time.Sleep(time.Millisecond)
		}
	}
	wait(1)
	wait(2)
	if of.take(ctx) {
		t.Error("a third waits where two may")
	}
	of.lend(func() {
		if i := <-had; i != 1 {
			t.Errorf("the turn went to number %d of the queue", i)
		}
	})
	of.give() // of those who came back there is one more than there are turns
	if of.waiting() != 1 {
		t.Error("a turn was given that was not there")
	}
	of.give()
	if i := <-had; i != 2 {
		t.Errorf("the turn went to number %d of the queue", i)
	}
	gone, cancel := context.WithCancel(ctx)
	cancel()
	if of.take(gone) || of.waiting() != 0 {
		t.Error("who has left still waits")
	}
	if impatient := newTurns(0, 1, time.Millisecond); impatient.take(ctx) || impatient.waiting() != 0 {
		t.Error("a turn that never comes is waited for")
	}
}

func (t *turns) waiting() int {
	t.mu.Lock()
	defer t.mu.Unlock()
	return len(t.queue)
}

// A server with enough to do refuses what is more, and never what asks how it is.
func TestShed(t *testing.T) {
	shelf := ShippedShelf()
	s := New(Options{Rubrics: shelf, Policies: shelf})
	s.turns = newTurns(1, 0, time.Minute)
	ask := func(method, path, body string) *httptest.ResponseRecorder {
		w := httptest.NewRecorder()
		s.ServeHTTP(w, httptest.NewRequest(method, path, strings.NewReader(body)))
		return w
	}
	const race = `{"pop": 2.05, "runner": 3.55}`
	if w := ask("POST", "/v1/race", race); w.Code != http.StatusOK {
		t.Fatalf("answered %d: %s", w.Code, w.Body)
	}
	if !s.turns.take(context.Background()) {
		t.Fatal("the turn of the request before was not given back")
	}
	for _, path := range []string{"/v1/race", "/v1/assess", "/sign-in"} {
		if w := ask("POST", path, race); w.Code != http.StatusServiceUnavailable || w.Header().Get("Retry-After") != "1" {
			t.Errorf("%s: answered %d, %v: %s", path, w.Code, w.Header(), w.Body)
		}
	}
	for _, path := range []string{"/healthz", "/readyz", "/openapi.json", "/problems/unavailable"} {
		if w := ask("GET", path, ""); w.Code != http.StatusOK {
			t.Errorf("%s: answered %d: %s", path, w.Code, w.Body)
		}
	}
	// A body that is waited for leaves the turn to others.
	s.turns.give()
	slow := readerFunc(func([]byte) (int, error) {
		if w := ask("POST", "/v1/race", race); w.Code != http.StatusOK {
			t.Errorf("beside a slow body: answered %d: %s", w.Code, w.Body)
		}
		return 0, io.ErrUnexpectedEOF
	})
	w := httptest.NewRecorder()
	s.ServeHTTP(w, httptest.NewRequest("POST", "/v1/race", slow))
	if w.Code != http.StatusBadRequest || !s.turns.take(context.Background()) {
		t.Errorf("a body that breaks off: answered %d, or its turn is lost: %s", w.Code, w.Body)
	}
}

type readerFunc func([]byte) (int, error)

// Read implements io.Reader.
func (f readerFunc) Read(b []byte) (int, error) { return f(b) }
