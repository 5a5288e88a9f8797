package api_test

import (
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"rootcue/api"
)

// preflight asks whether a page of an origin may call.
func preflight(s *api.Server, origin string) *httptest.ResponseRecorder {
	r := httptest.NewRequest("OPTIONS", "/v1/assess", nil)
	r.Header.Set("Origin", origin)
	r.Header.Set("Access-Control-Request-Method", "POST")
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

func TestCORS(t *testing.T) {
	s := newServer(t, func(o *api.Options) { o.CORS = []string{"https://club.example"} })
	if w := preflight(s, "https://club.example"); w.Code != 204 || w.Header().Get("Access-Control-Allow-Origin") != "https://club.example" || !strings.Contains(w.Header().Get("Access-Control-Allow-Headers"), "Idempotency-Key") {
		t.Errorf("a page of the club is answered %d %v", w.Code, w.Header())
	}
	if w := preflight(s, "https://elsewhere.example"); w.Code != 405 || w.Header().Get("Access-Control-Allow-Origin") != "" {
		t.Errorf("a page from elsewhere is answered %d %v", w.Code, w.Header())
	}
	w := ask(t, s, "GET", "/v1/rubrics", "", "Origin", "https://club.example")
	if w.Header().Get("Access-Control-Allow-Origin") != "https://club.example" || !strings.Contains(strings.Join(w.Header().Values("Vary"), ","), "Origin") {
		t.Errorf("header %v", w.Header())
	}
	if w := ask(t, plainServer(), "GET", "/v1/rubrics", "", "Origin", "https://club.example"); w.Header().Get("Access-Control-Allow-Origin") != "" {
		t.Error("a server without origins let a page in")
	}
}

// A club's own list: its pages may call, and see what a key of that club opens
// but nothing of another club's, until the club takes them off the list.
func TestCORSByClub(t *testing.T) {
	kept := embeddedServer(t)
	c := &clock{fieldDay}
	shelf := api.ShippedShelf()
	s := &clubServer{api.New(api.Options{Rubrics: shelf, Policies: shelf, Clubs: kept.clubs, Now: c.now}), kept.clubs, kept.queue, kept.secrets}
	const page = "https://harbour.example"
	list := func(origins string) {
		t.Helper()
		tag := s.ask(t, "admin", "GET", "/v1/settings", "").Header().Get("ETag")
		w := s.ask(t, "admin", "PUT", "/v1/settings", `{"time_zone": "UTC", "policies": [], "team_policies": {}, "review_first": true, "frame_ancestors": [], "web_origins": [`+origins+`], "keep_months": 0}`,
			"If-Match", tag, "Content-Type", "application/json")
		if w.Code != 200 {
			t.Fatalf("found %d %s", w.Code, w.Body)
		}
		c.at = c.at.Add(5 * time.Second) // the lists are read again
	}
	shown := func(as string) bool {
		t.Helper()
		w := s.ask(t, as, "GET", "/v1/assessments", "", "Origin", page)
		return w.Header().Get("Access-Control-Allow-Origin") == page
	}
	if w := preflight(s.Server, page); w.Code != 405 || shown("read") {
		t.Errorf("before it is on the list, a page is answered %d", w.Code)
	}
	list(`"` + page + `"`)
	if w := preflight(s.Server, page); w.Code != 204 || !shown("read") || shown("other-read") {
		t.Errorf("on the list: %d, its club %v, another club %v", w.Code, shown("read"), shown("other-read"))
	}
	if w := preflight(s.Server, "https://harbour.example.evil.example"); w.Code != 405 {
		t.Errorf("a page that only looks like it is answered %d", w.Code)
	}
	list("")
	if w := preflight(s.Server, page); w.Code != 405 || shown("read") {
		t.Errorf("taken off the list, a page is answered %d", w.Code)
	}
}
