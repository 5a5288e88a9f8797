package api_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"rootcue/api"
)

// Every operation lets in exactly the roles it declares: the matrix is made
// from the routes themselves.
func TestRoleMatrix(t *testing.T) {
	s := embeddedServer(t)
	addRoles(s.Server, func() error { return nil })
	for _, r := range s.Routes {
		for as, p := range map[string]api.Role{"": api.Open, "read": api.Read, "submit": api.Submit, "edit": api.Edit, "admin": api.Admin} {
			req := httptest.NewRequest(r.Method, strings.NewReplacer("{", "", "}", "").Replace(r.Path), nil)
			if as != "" {
				req.Header.Set("Authorization", "Bearer "+s.secrets[as])
			}
			w := httptest.NewRecorder()
			s.ServeHTTP(w, req)
			if w.Code >= 500 && w.Code != http.StatusServiceUnavailable { // a job is refused: none runs here
				t.Errorf("%s %s with role %s: %d %s", r.Method, r.Path, p, w.Code, w.Body)
			}
			refused := w.Code == http.StatusUnauthorized || w.Code == http.StatusForbidden
			if r.ID == "metrics" {
				refused = false // has a token of its own
			}
			if let := p >= r.Role; let == refused {
				t.Errorf("%s %s wants role %s and answers %d to role %s", r.Method, r.Path, r.Role, w.Code, p)
			}
			if refused && p == api.Open && (w.Code != 401 || w.Header().Get("WWW-Authenticate") == "") {
				t.Errorf("%s without a key: %d, %v", r.Path, w.Code, w.Header())
			}
			if refused && p > api.Open && w.Code != 403 {
				t.Errorf("%s with too small a role: %d", r.Path, w.Code)
			}
		}
	}
}

func TestAuthorizationField(t *testing.T) {
	s := newServer(t, func(o *api.Options) { o.Keys = keys })
	addRoles(s, nil)
	for field, status := range map[string]int{
		"Bearer key-read": 200, "bearer key-read": 200, "Bearer  key-read ": 200,
		"": 401, "Bearer": 401, "Bearer ": 401, "Basic key-read": 401, "key-read": 401, "Bearer KEY-READ": 401, "Bearer key-read2": 401, "Bearer broken": 500,
	} {
		r := httptest.NewRequest("GET", "/test/role/read", nil)
		r.Header.Set("Authorization", field)
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		if w.Code != status {
			t.Errorf("Authorization %q is answered %d, wanted %d", field, w.Code, status)
		}
		if strings.Contains(w.Body.String(), "database") {
			t.Errorf("the server's trouble goes out: %s", w.Body)
		}
	}
	none := newServer(t, nil) // a server without keys opens nothing
	addRoles(none, nil)
	w := httptest.NewRecorder()
	r := httptest.NewRequest("GET", "/test/role/read", nil)
	r.Header.Set("Authorization", "Bearer key-admin")
	if none.ServeHTTP(w, r); w.Code != 401 {
		t.Errorf("a server without keys answers %d", w.Code)
	}
}

// What a handler sees is the caller's own club.
func TestPrincipal(t *testing.T) {
	s := newServer(t, func(o *api.Options) { o.Keys = keys })
	addRoles(s, nil)
	for bearer, want := range map[string]string{"key-read": `"harbour/k1"`, "other": `"hillside/k5"`} {
		r := httptest.NewRequest("GET", "/test/role/read", nil)
		r.Header.Set("Authorization", "Bearer "+bearer)
		w := httptest.NewRecorder()
		if s.ServeHTTP(w, r); w.Body.String() != want {
			t.Errorf("%s sees %s", bearer, w.Body)
		}
	}
}

func TestRole(t *testing.T) {
	for _, name := range []string{"read", "submit", "edit", "admin"} {
		if r, ok := api.ParseRole(name); !ok || r.String() != name {
			t.Errorf("ParseRole(%q) = %v, %v", name, r, ok)
		}
	}
	for _, name := range []string{"open", "", "Admin", "owner"} {
		if r, ok := api.ParseRole(name); ok || r != api.Open {
			t.Errorf("ParseRole(%q) = %v", name, r)
		}
	}
}

// from asks with a key from an address.
func from(s *api.Server, address, bearer string) *httptest.ResponseRecorder {
	r := httptest.NewRequest("GET", "/test/role/read", nil)
	r.RemoteAddr = address + ":1234"
	r.Header.Set("X-Forwarded-For", "198.51.100.7") // nobody's word is taken for it
	if bearer != "" {
		r.Header.Set("Authorization", "Bearer "+bearer)
	}
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

func TestBadKeysAreSlowedDown(t *testing.T) {
	c := &clock{time.Date(2026, 5, 9, 12, 0, 0, 0, time.UTC)}
	s := newServer(t, func(o *api.Options) { o.Keys, o.Now = keys, c.now })
	addRoles(s, nil)
	for i := range 20 {
		if w := from(s, "192.0.2.1", "guess"); w.Code != 401 {
			t.Fatalf("try %d is answered %d", i, w.Code)
		}
	}
	if w := from(s, "192.0.2.1", "key-read"); w.Code != 429 || w.Header().Get("Retry-After") != "30" {
		t.Errorf("after 20 bad keys: %d, Retry-After %s, wanted 429 and 30", w.Code, w.Header().Get("Retry-After"))
	}
	if w := from(s, "192.0.2.2", "key-read"); w.Code != 200 {
		t.Errorf("another address is answered %d", w.Code)
	}
	if w := from(s, "192.0.2.1", "key-read"); w.Code != 200 {
		t.Errorf("a key that was good just now is barred with its address: %d", w.Code)
	}
	if w := from(s, "192.0.2.1", "key-edit"); w.Code != 429 {
		t.Errorf("a key not seen before from the barred address: %d", w.Code)
	}
	c.at = c.at.Add(30 * time.Second)
	if w := from(s, "192.0.2.1", "key-edit"); w.Code != 200 {
		t.Errorf("half a minute later: %d", w.Code)
	}
}

// Who has a network of IPv6 addresses has no more tries than who has one; the
// next network has its own.
func TestBadKeysOfANetwork(t *testing.T) {
	s := newServer(t, func(o *api.Options) { o.Keys = keys })
	addRoles(s, nil)
	for i := range 20 {
		if w := from(s, fmt.Sprintf("[2001:db8:1:2:%x::%x]", i, i), "guess"); w.Code != 401 {
			t.Fatalf("try %d is answered %d", i, w.Code)
		}
	}
	if w := from(s, "[2001:db8:1:2:ffff::1]", "key-read"); w.Code != 429 {
		t.Errorf("another address of the network is answered %d, wanted 429", w.Code)
	}
	if w := from(s, "[2001:db8:1:3::1]", "key-read"); w.Code != 200 {
		t.Errorf("another network is answered %d", w.Code)
	}
}

// Behind a proxy that is named, the address in its X-Forwarded-For counts; what
// a client writes there itself does not.
func TestAddressBehindAProxy(t *testing.T) {
	s := newServer(t, func(o *api.Options) { o.Keys, o.Proxies = keys, []string{"10.0.0.0/24"} })
	addRoles(s, nil)
	through := func(forwarded, bearer string) int {
		r := httptest.NewRequest("GET", "/test/role/read", nil)
		r.RemoteAddr = "10.0.0.7:1234"
		r.Header.Set("X-Forwarded-For", forwarded)
		r.Header.Set("X-Real-Ip", "192.0.2.99") // no such word is taken
		r.Header.Set("Authorization", "Bearer "+bearer)
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		return w.Code
	}
	for i := range 20 {
		if code := through(fmt.Sprintf("203.0.113.%d, 192.0.2.1", i), "guess"); code != 401 { // the first was written by the client
			t.Fatalf("try %d is answered %d", i, code)
		}
	}
	if code := through("192.0.2.1", "key-read"); code != 429 {
		t.Errorf("after 20 bad keys: %d, wanted 429", code)
	}
	if code := through("192.0.2.2", "key-read"); code != 200 {
		t.Errorf("another client of the proxy is answered %d", code)
	}
}

func TestRateLimit(t *testing.T) {
	c := &clock{time.Date(2026, 5, 9, 12, 0, 0, 0, time.UTC)}
	s := newServer(t, func(o *api.Options) {
		o.Keys, o.Now, o.Rate = keys, c.now, api.Rate{Requests: 3, Window: 30 * time.Second}
	})
	addRoles(s, nil)
	for i, want := range []string{`"default";r=2;t=10`, `"default";r=1;t=20`, `"default";r=0;t=30`} {
		w := from(s, "192.0.2.1", "key-read")
		if w.Code != 200 || w.Header().Get("RateLimit") != want || w.Header().Get("RateLimit-Policy") != `"default";q=3;w=30` {
			t.Errorf("request %d: %d, %v", i+1, w.Code, w.Header())
		}
	}
	w := from(s, "192.0.2.2", "key-read") // the key counts, not the address
	if w.Code != 429 || w.Header().Get("Retry-After") != "10" || problem(t, w).Type != "/problems/too-many" {
		t.Errorf("request 4: %d, %v", w.Code, w.Header())
	}
	if w := from(s, "192.0.2.1", "other"); w.Code != 200 {
		t.Errorf("another key is answered %d", w.Code)
	}
	c.at = c.at.Add(10 * time.Second)
	if w := from(s, "192.0.2.1", "key-read"); w.Code != 200 {
		t.Errorf("ten seconds later: %d", w.Code)
	}
	c.at = c.at.Add(time.Hour)
	if w := from(s, "192.0.2.1", "key-read"); w.Header().Get("RateLimit") != `"default";r=2;t=10` {
		t.Errorf("an hour later: %v", w.Header())
	}
	for range 10 { // probes are not counted
		if w := ask(t, s, "GET", "/healthz", ""); w.Code != 200 || w.Header().Get("RateLimit") != "" {
			t.Fatalf("a probe is answered %d", w.Code)
		}
	}
}
