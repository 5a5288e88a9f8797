package api_test

import (
	"context"
	"encoding/json"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"rootcue/api"
)

// An operation that will go says so with every answer, good or not, and in the
// OpenAPI document; the others say nothing. The form of the date is that of the
// example in RFC 9745, 2.1.
func TestDeprecation(t *testing.T) {
	s := newServer(t, nil)
	old := api.Route{
		Method: "GET", Path: "/v1/old", ID: "old", Tag: "Judge", Summary: "What was", Description: "It was.",
		Deprecated: &api.Deprecation{Since: time.Unix(1688169599, 0), Until: time.Date(2026, 12, 31, 23, 59, 59, 0, time.UTC), Instead: "/v1/rubrics"},
	}
	type answer = api.Answer[struct {
		Said string `json:"said"`
	}]
	api.Add(s, old, func(context.Context, *api.None) (*answer, error) { return &answer{}, nil })
	later := old
	later.Path, later.ID, later.Deprecated, later.Role = "/v1/later", "later", &api.Deprecation{Since: time.Unix(1688169599, 0)}, api.Read
	api.Add(s, later, func(context.Context, *api.None) (*answer, error) { return &answer{}, nil })
	broken := old
	broken.Path, broken.ID = "/v1/broken", "broken"
	api.Add(s, broken, func(context.Context, *api.None) (*answer, error) { panic("half-way") })
	for _, c := range []struct {
		path                string
		status              int
		deprecation, sunset string
	}{
		{"/v1/old", 200, "@1688169599", "Thu, 31 Dec 2026 23:59:59 GMT"},
		{"/v1/later", 401, "@1688169599", ""},
		{"/v1/broken", 500, "@1688169599", "Thu, 31 Dec 2026 23:59:59 GMT"},
		{"/v1/rubrics", 200, "", ""},
	} {
		w := httptest.NewRecorder()
		s.ServeHTTP(w, httptest.NewRequest("GET", c.path, nil))
		h := w.Header()
		if w.Code != c.status || h.Get("Deprecation") != c.deprecation || h.Get("Sunset") != c.sunset {
			t.Errorf("%s: %d %v", c.path, w.Code, h)
		}
	}
	w := httptest.NewRecorder()
	s.ServeHTTP(w, httptest.NewRequest("GET", "/openapi.json", nil))
	var d struct {
		Paths map[string]map[string]struct {
			Deprecated  bool
			Description string
		}
	}
	if err := json.Unmarshal(w.Body.Bytes(), &d); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{"/v1/old": "Deprecated since 2023-06-30; it goes on 2026-12-31; use `/v1/rubrics`.", "/v1/later": "Deprecated since 2023-06-30."} {
		if op := d.Paths[path]["get"]; !op.Deprecated || !strings.HasSuffix(op.Description, want) {
			t.Errorf("%s: %+v", path, op)
		}
	}
	if d.Paths["/v1/rubrics"]["get"].Deprecated {
		t.Error("an operation in use is deprecated")
	}
}
