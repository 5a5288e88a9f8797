package api_test

import (
	"encoding/json"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"rootcue/internal/report/browsertest"
	"rootcue/testdata/demo"
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

// demoStored submits the observations of the invented club.
func (s *clubServer) demoStored(t testing.TB) {
	t.Helper()
	files, err := demo.Observations.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if strings.HasSuffix(f.Name(), ".json") {
			b, err := demo.Observations.ReadFile(f.Name())
			if err != nil {
				t.Fatal(err)
			}
			if w := s.ask(t, "submit", "POST", "/v1/observations", string(b)); w.Code != 200 {
				t.Fatalf("%s: %d %s", f.Name(), w.Code, w.Body)
			}
		}
	}
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

// set gives a value to a field that is not typed into, such as a date.
func (p tab) set(selector, value string) {
	p.t.Helper()
	browsertest.Eval[bool](p.t, p.Page, `(() => { const e = document.querySelector(`+quoted(selector)+`); e.value = `+quoted(value)+`; e.dispatchEvent(new Event("input", {bubbles: true})); e.dispatchEvent(new Event("change", {bubbles: true})); return true })()`)
}

func (p tab) click(selector string) {
	p.t.Helper()
	browsertest.Run(p.t, p.Page, chromedp.Click(selector, chromedp.NodeVisible))
}

// press sends a key or types into whatever has the focus.
func (p tab) press(keys string) {
	p.t.Helper()
	browsertest.Run(p.t, p.Page, chromedp.KeyEvent(keys))
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

// sound fails where the browser complained of a page, axe-core finds a fault or
// something sticks out. Complaints that hold an allowed word are no fault.
func (p tab) sound(name string, allowed ...string) {
	p.t.Helper()
	for _, v := range p.Axe(p.t) {
		p.t.Errorf("%s: %s", name, v)
	}
	for _, v := range p.TooWide(p.t) {
		p.t.Errorf("%s is too wide: %s", name, v)
	}
next:
	for _, c := range p.Complaints() {
		for _, a := range allowed {
			if strings.Contains(c, a) {
				continue next
			}
		}
		p.t.Errorf("%s: the browser says: %s", name, c)
	}
}

// tabTo presses Tab until a thing has the focus, as one without a mouse does.
func (p tab) tabTo(selector string) {
	p.t.Helper()
	for range 400 {
		p.press(kb.Tab)
		if browsertest.Eval[bool](p.t, p.Page, `document.activeElement?.matches(`+quoted(selector)+`) ?? false`) {
			return
		}
	}
	p.t.Fatalf("Tab never comes to %s", selector)
}

// client is a browser's requests without the browser, signed in as a role.
func (s *pageServer) client(t testing.TB, as string) *http.Client {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	c := &http.Client{Jar: jar}
	answer, err := c.PostForm(s.URL+"/sign-in", url.Values{"key": {s.secrets[as]}, "next": {"/session"}})
	if err != nil {
		t.Fatal(err)
	}
	answer.Body.Close()
	if answer.StatusCode != 200 {
		t.Fatalf("signing in is answered %d", answer.StatusCode)
	}
	return c
}

// get asks for a page and gives it with its body.
func get(t testing.TB, c *http.Client, address string) (*http.Response, []byte) {
	t.Helper()
	r, err := http.NewRequest("GET", address, nil)
	if err != nil {
		t.Fatal(err)
	}
	return did(t, c, r)
}

// did sends a request and gives the answer with its body.
func did(t testing.TB, c *http.Client, r *http.Request) (*http.Response, []byte) {
	t.Helper()
	answer, err := c.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	return whole(t, answer)
}

// whole reads an answer to its end.
func whole(t testing.TB, answer *http.Response) (*http.Response, []byte) {
	t.Helper()
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer, body
}

// loads finds what a page or a script of it loads from this server.
var loads = regexp.MustCompile(`(?:href|src)="(/static/[^"]+)"|from "\./([a-z]+\.js)"`)

// weight is how many bytes go over the wire for a page and all that it loads.
func (s *pageServer) weight(t testing.TB, c *http.Client, path string) int {
	t.Helper()
	seen, todo, bytes := map[string]bool{}, []string{path}, 0
	for len(todo) > 0 {
		at := todo[0]
		todo = todo[1:]
		if seen[at] {
			continue
		}
		seen[at] = true
		_, body := get(t, c, s.URL+at)
		bytes += s.sent(t, c, at)
		for _, m := range loads.FindAllStringSubmatch(string(body), -1) {
			if m[1] != "" {
				todo = append(todo, m[1])
			} else {
				todo = append(todo, "/static/"+m[2])
			}
		}
	}
	return bytes
}

// sent is the size of an answer as it is sent, compressed where that is.
func (s *pageServer) sent(t testing.TB, c *http.Client, path string) int {
	t.Helper()
	r, err := http.NewRequest("GET", s.URL+path, nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Accept-Encoding", "gzip") // set by hand, it is not undone
	answer, err := c.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	n, err := io.Copy(io.Discard, answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return int(n)
}

// read gives the items of a list.
func read[T any](t testing.TB, s *pageServer, path string) []T {
	t.Helper()
	var list struct{ Items []T }
	if err := json.Unmarshal(s.must(t, "edit", "GET", path, ""), &list); err != nil {
		t.Fatal(err)
	}
	return list.Items
}

type object = map[string]any

// asJSON is a value as it stands in a request.
func asJSON(v any) string {
	b, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return string(b)
}
