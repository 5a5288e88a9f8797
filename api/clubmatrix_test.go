package api_test

import (
	"net/http"
	"strings"
	"testing"

	"rootcue/api"
)

// Role × club × route: every operation that asks for a key is sent its example
// with every role of both clubs. A smaller role is 403, another club's thing is
// 404, and what another club reads holds nothing of the first.
// An operation without an example fails TestClubExamples.
func TestRoleClubRoute(t *testing.T) {
	s := embeddedServer(t)
	routes := map[string]*api.Route{}
	for _, r := range s.Routes {
		routes[r.ID] = r
	}
	kept := map[string]string{}
	for _, e := range clubExamples {
		r := routes[e.ID]
		for role := api.Read; role < r.Role; role++ {
			if w := sendExample(t, s, r, role.String(), e, kept); w.Code != http.StatusForbidden {
				t.Errorf("%s as %s is answered %d, wanted 403", e.ID, role, w.Code)
			}
		}
		if w := sendExample(t, s, r, "", e, kept); w.Code != http.StatusUnauthorized {
			t.Errorf("%s without a key is answered %d, wanted 401", e.ID, w.Code)
		}
		if e.names(t, r, kept) {
			w := sendExample(t, s, r, "other-admin", e, kept)
			if w.Code != http.StatusNotFound {
				t.Errorf("%s as another club's admin is answered %d, wanted 404: %s", e.ID, w.Code, cut(w.Body.String()))
			}
		}
		w := sendExample(t, s, r, r.Role.String(), e, kept) // the least role may
		if w.Code >= 300 {
			t.Fatalf("%s as %s is answered %d: %s", e.ID, r.Role, w.Code, cut(w.Body.String()))
		}
		e.remember(t, w, kept)
		if r.Method == http.MethodGet {
			other := sendExample(t, s, r, "other-admin", e, kept).Body.String()
			for name, value := range kept {
				if value != "" && e.Keep[name] != "ETag" && !strings.HasPrefix(value, `"`) && strings.Contains(other, value) {
					t.Errorf("%s tells another club the first one's %s", e.ID, name)
				}
			}
			if strings.Contains(other, "P-0733") && !strings.Contains(other, `"type":"/problems/`) {
				t.Errorf("%s tells another club of a player: %s", e.ID, cut(other))
			}
		}
	}
}

// names reports whether the example names something of the first club by its
// id, in the address or in the body.
func (e clubExample) names(t *testing.T, r *api.Route, kept map[string]string) bool {
	t.Helper()
	body, _ := api.Example(r.ID+".request", "application/json")
	for name, value := range kept {
		if !strings.HasPrefix(value, `"`) && strings.Contains(e.Target+string(body), "{"+name+"}") { // a tag is quoted
			return true
		}
	}
	return false
}
