package api_test

import (
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rootcue/api"
	"rootcue/internal/store/storetest"
)

// A job is asked for over HTTP and followed by events to its end; an erasure
// done later leaves its proof. An export is made by a job and fetched by its club.
func TestJobEvents(t *testing.T) {
	for name, url := range map[string]func() string{
		"embedded":   func() string { return filepath.Join(t.TempDir(), "club.db") },
		"PostgreSQL": func() string { return storetest.Postgres(t) },
	} {
		t.Run(name, func(t *testing.T) {
			s := newClubServer(t, url())
			w := s.ask(t, "submit", "POST", "/v1/observations", `{"rubric": "throw-to-second", "player": {"ref": "P-0733", "age": 12}, "on": "2026-05-08", "reps": [{"rep": 1, "measures": {"stride_off_line": 25}}]}`, "Content-Type", "application/json")
			if w.Code != 200 {
				t.Fatal(w.Body)
			}
			w = s.ask(t, "admin", "POST", "/v1/exports", `{"player": "P-0733"}`, "Content-Type", "application/json")
			export, job := strings.Trim(at(t, w.Body.Bytes(), "/export"), `"`), strings.Trim(at(t, w.Body.Bytes(), "/job"), `"`)
			fetch := func(as string, want int) string {
				t.Helper()
				w := s.ask(t, as, "GET", "/v1/exports/"+export, "")
				if w.Code != want {
					t.Errorf("fetching it as %s is answered %d, wanted %d: %s", as, w.Code, want, cut(w.Body.String()))
				}
				return w.Body.String()
			}
			fetch("admin", 409)
			fetch("edit", 403)
			if err := s.queue.Start(t.Context()); err != nil {
				t.Fatal(err)
			}
			defer func() {
				ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
				defer cancel()
				if err := s.queue.Stop(ctx); err != nil {
					t.Error(err)
				}
			}()
			s.ask(t, "edit", "GET", "/v1/jobs/"+job, "", "Accept", "text/event-stream") // until it is done
			if body := fetch("admin", 200); !strings.HasPrefix(body, "PK") || !strings.Contains(body, "assessments.json") {
				t.Errorf("found %q", cut(body))
			}
			if w := s.ask(t, "admin", "HEAD", "/v1/exports/"+export, ""); w.Code != 200 || w.Header().Get("Content-Type") != "application/zip" {
				t.Errorf("HEAD is answered %d %v", w.Code, w.Header())
			}
			fetch("other-admin", 404)
			w = s.ask(t, "admin", "DELETE", "/v1/players/P-0733", "", "Prefer", "respond-async")
			id := strings.Trim(at(t, w.Body.Bytes(), "/job"), `"`)
			w = s.ask(t, "edit", "GET", "/v1/jobs/"+id, "", "Accept", "text/event-stream")
			events := strings.Split(strings.TrimSpace(w.Body.String()), "\n\n")
			last := events[len(events)-1]
			if !strings.HasPrefix(w.Header().Get("Content-Type"), "text/event-stream") || !strings.HasPrefix(last, "event: job\ndata: {") {
				t.Fatalf("found %q", w.Body)
			}
			data := strings.TrimPrefix(last, "event: job\ndata: ")
			if at(t, []byte(data), "/state") != `"done"` || len(at(t, []byte(data), "/progress/proof")) != 66 {
				t.Errorf("the last event is %s", data)
			}
			fetch("admin", 404) // erased with the player
			if w := s.ask(t, "admin", "GET", "/v1/players/P-0733", ""); w.Code != 404 {
				t.Errorf("the player is still there: %d", w.Code)
			}
			if w := s.ask(t, "other-admin", "GET", "/v1/jobs/"+id, ""); w.Code != 404 {
				t.Errorf("another club is told: %d", w.Code)
			}
		})
	}
}

// A leaver is a client that goes away after the first words.
type leaver struct {
	*httptest.ResponseRecorder
	leave func()
}

func (l leaver) Write(b []byte) (int, error) {
	defer l.leave()
	return l.ResponseRecorder.Write(b)
}

// A client that goes away ends the stream.
func TestJobStreamEndsWithItsClient(t *testing.T) {
	s := embeddedServer(t)
	w := s.ask(t, "edit", "POST", "/v1/rubrics/throw-to-second/reassess", "")
	id := strings.Trim(at(t, w.Body.Bytes(), "/job"), `"`)
	ctx, cancel := context.WithCancel(t.Context())
	r := httptest.NewRequestWithContext(ctx, "GET", "/v1/jobs/"+id, nil)
	r.Header.Set("Accept", "text/event-stream")
	r.Header.Set("Authorization", "Bearer "+s.secrets["edit"])
	done, out := make(chan struct{}), leaver{httptest.NewRecorder(), cancel}
	go func() { s.ServeHTTP(out, r); close(done) }()
	select {
	case <-done:
	case <-time.After(10 * time.Second):
		t.Fatal("the stream goes on without anybody")
	}
	if body := fmt.Sprint(out.Body); !strings.Contains(body, `"waiting"`) {
		t.Errorf("found %q", body)
	}
}

// A server told to stop ends the stream as a whole one, and does not wait for a
// job that goes on without it.
func TestJobStreamEndsWithItsServer(t *testing.T) {
	s := embeddedServer(t)
	w := s.ask(t, "edit", "POST", "/v1/rubrics/throw-to-second/reassess", "")
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	served := make(chan error, 1)
	go func() { served <- api.Serve(ctx, l, s) }()
	r, err := http.NewRequest("GET", "http://"+l.Addr().String()+"/v1/jobs/"+strings.Trim(at(t, w.Body.Bytes(), "/job"), `"`), nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Accept", "text/event-stream")
	r.Header.Set("Authorization", "Bearer "+s.secrets["edit"])
	res, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	stop()
	if body, err := io.ReadAll(res.Body); err != nil || !strings.Contains(string(body), `"waiting"`) {
		t.Errorf("found %q, %v", body, err)
	}
	if err := <-served; err != nil {
		t.Error(err)
	}
}
