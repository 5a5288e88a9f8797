package api_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/chromedp/chromedp"

	"rootcue/internal/report/browsertest"
)

// A pageServer is a server with two clubs at an address, whose net can be cut.
type pageServer struct {
	*clubServer
	*httptest.Server
	cut atomic.Bool
}

func newPageServer(t testing.TB) *pageServer {
	t.Helper()
	s := &pageServer{clubServer: embeddedServer(t)}
	s.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if s.cut.Load() {
			panic(http.ErrAbortHandler) // as if nobody were there
		}
		s.clubServer.ServeHTTP(w, r)
	}))
	t.Cleanup(s.Server.Close)
	return s
}

// A tab is a page that is worked with as a person does.
type tab struct {
	*browsertest.Page
	t testing.TB
}

func (s *pageServer) open(t testing.TB, b *browsertest.Browser, path string, v browsertest.View) tab {
	t.Helper()
	return tab{b.Open(t, s.URL+path, v), t}
}

// signedIn opens a page after signing in with the key of a role.
func (s *pageServer) signedIn(t testing.TB, b *browsertest.Browser, as, path string, v browsertest.View) tab {
	t.Helper()
	p := s.open(t, b, "/sign-in?next="+path, v)
	p.signIn(s.secrets[as])
	return p
}

func (p tab) signIn(key string) {
	p.t.Helper()
	p.waitFor(`document.querySelector("#key") && document.readyState === "complete"`)
	p.fill("#key", key)
	p.click("form.narrow button")
	p.waitFor(`!location.pathname.startsWith("/sign-in")`)
	p.waitFor(`document.readyState === "complete"`)
}

// fill types into a field in place of what stands there.
func (p tab) fill(selector, text string) {
	p.t.Helper()
	browsertest.Eval[bool](p.t, p.Page, `(() => { const e = document.querySelector(`+quoted(selector)+`); e.focus(); e.select?.(); return true })()`)
	browsertest.Run(p.t, p.Page, chromedp.KeyEvent(text))
}

func (p tab) click(selector string) {
	p.t.Helper()
	browsertest.Run(p.t, p.Page, chromedp.Click(selector, chromedp.NodeVisible))
}

// waitFor waits until an expression holds.
func (p tab) waitFor(expression string) {
	p.t.Helper()
	p.WaitFor(p.t, expression)
}

// text is what an element says, with blanks run together.
func (p tab) text(selector string) string {
	p.t.Helper()
	return browsertest.Eval[string](p.t, p.Page, `(document.querySelector(`+quoted(selector)+`)?.innerText ?? "").replace(/\s+/g, " ").trim()`)
}

// says waits until an element says something.
func (p tab) says(selector, part string) {
	p.t.Helper()
	p.waitFor(`(document.querySelector(` + quoted(selector) + `)?.innerText ?? "").replace(/\s+/g, " ").includes(` + quoted(part) + `)`)
}

func quoted(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`).Replace(s) + `"`
}
