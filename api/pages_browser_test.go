//go:build !race

package api_test

import (
	"encoding/json"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/internal/report/browsertest"
	"rootcue/internal/report/htmltest"
)

// A shownPage is a page of the server that people look at.
type shownPage struct {
	name, path string
	as         string    // role of who is signed in; "": nobody
	ready      string    // holds when its script has done its first work; "": it has none
	do         func(tab) // what is done to come to what is looked at; nil: nothing
	complains  string    // what the browser may say of it
}

// A scene is what a club has for its pages to show.
type scene struct{ assessment, link, tryout, bib string }

// demoScene stores the invented club's assessments, a tryout, a group, a link
// for a family and a second version of a rubric.
func (s *pageServer) demoScene(t testing.TB) scene {
	t.Helper()
	s.demoStored(t)
	sc := scene{assessment: s.assessmentOf(t, "D-03"), tryout: s.springTryout(t, "Spring"), bib: "25"}
	s.must(t, "edit", "PUT", "/v1/groups/catchers", `{"players": ["D-01", "D-02", "D-03", "D-04"]}`)
	s.must(t, "edit", "PATCH", "/v1/rubrics/receiving/limits", `{"limits": [{"fault": "noisy-hand", "band": "13-14", "at_least": 3.4}], "reason": "a little more room at 13-14"}`, "If-Match", "*")
	sc.link = s.familyLink(t, s.assessmentOf(t, "D-02"), `{"release": true}`)
	return sc
}

// familyLink reviews an assessment for the first time and gives the path of a
// link to its report.
func (s *pageServer) familyLink(t testing.TB, assessment, review string) string {
	t.Helper()
	s.must(t, "edit", "PUT", "/v1/assessments/"+assessment+"/review", review)
	var made struct{ Path string }
	if err := json.Unmarshal(s.must(t, "edit", "POST", "/v1/links", `{"assessment": "`+assessment+`"}`), &made); err != nil {
		t.Fatal(err)
	}
	return made.Path
}

// shownPages are the pages of a server with the club of a scene.
func shownPages(sc scene) []shownPage {
	tryout := "/tryouts/" + sc.tryout
	const shown = `!document.querySelector(".scripted[hidden]")`
	const limits, started = "/rubrics/receiving/edit", `document.body.dataset.started`
	return []shownPage{
		{name: "front", path: "/"},
		{name: "sign-in", path: "/sign-in"},
		{name: "docs", path: "/docs"},
		{name: "link", path: sc.link},
		{name: "trouble", path: "/rubrics/none/edit", as: "edit", complains: "404"},
		{name: "entry-choose", path: "/entry", as: "submit"},
		{name: "entry", path: "/entry?rubric=receiving", as: "submit", ready: `document.body.dataset.ready`, do: func(p tab) {
			p.set("#on", "2026-05-09") // else today's
			p.set("#session", "field-a")
		}},
		{name: "entry-tryout", path: "/entry?tryout=" + sc.tryout, as: "submit", ready: `document.body.dataset.ready`},
		{name: "review", path: "/review?on=2026-05-03", as: "edit"},
		{name: "review-none", path: "/review?on=2026-05-04", as: "edit"},
		{name: "reports", path: "/review/reports?on=2026-05-03", as: "edit"},
		{name: "rubrics", path: "/rubrics", as: "edit"},
		{name: "limits", path: limits, as: "edit", ready: started},
		{name: "limits-history", path: limits, as: "edit", ready: started, do: func(p tab) {
			p.click(`[data-compare="1"]`)
			p.waitFor(`document.querySelector("#compared li")`)
		}},
		{name: "limits-file", path: limits, as: "edit", ready: started, do: func(p tab) {
			p.click("#file summary")
			p.waitFor(`document.getElementById("problems-count").textContent`)
		}},
		{name: "limits-throw", path: limitsPath, as: "edit", ready: started},
		{name: "tryouts", path: "/tryouts", as: "edit"},
		{name: "new-tryout", path: "/tryouts/new", as: "edit", ready: shown, do: func(p tab) { p.set("#on", "2026-05-09") }},
		{name: "tryout-board", path: tryout, as: "edit", ready: shown},
		{name: "tryout-bib", path: tryout + "/bibs/" + url.PathEscape(sc.bib), as: "edit", ready: shown},
		{name: "groups", path: "/groups", as: "edit"},
		{name: "group-asked", path: "/groups/catchers/plan?on=2026-05-10", as: "edit", ready: shown},
		{name: "group-plan", path: "/groups/catchers/plan?on=2026-05-10&start=17:30&minutes=60&turn=12&helpers=1", as: "edit", ready: shown},
		{name: "report", path: "/v1/assessments/" + sc.assessment + "/report", as: "read"},
	}
}

// assessmentOf is the id of the first assessment of a player.
func (s *pageServer) assessmentOf(t testing.TB, ref string) string {
	t.Helper()
	var list struct{ Items []struct{ ID string } }
	if err := json.Unmarshal(s.ask(t, "read", "GET", "/v1/assessments?player="+ref, "").Body.Bytes(), &list); err != nil || len(list.Items) == 0 {
		t.Fatalf("no assessment of %s (%v)", ref, err)
	}
	return list.Items[0].ID
}

// views are how each page is looked at: both colour schemes, 320 px, 200 %
// zoom, both languages.
var views = []struct {
	name, lang string
	browsertest.View
}{
	{"light", "en", browsertest.View{}},
	{"dark, 320 px", "es", browsertest.View{Width: 320, Height: 640, Dark: true}},
	{"200 %", "en", browsertest.Zoomed(200)},
}

// Every page, in every view: axe-core finds nothing (WCAG 2.2 and its own best
// practices), nothing sticks out, the browser has nothing to complain of. With
// PAGE_SHOTS=DIR each is written there as a picture, to be looked at.
func TestEveryPageInABrowser(t *testing.T) {
	s := newPageServer(t)
	all := shownPages(s.demoScene(t))
	for _, v := range views {
		t.Run(v.name, func(t *testing.T) {
			t.Parallel()
			b, signedIn := browsertest.Start(t), ""
			for _, page := range all {
				if page.as != signedIn {
					p := s.open(t, b, "/sign-in", v.View)
					p.signIn(s.secrets[page.as])
					signedIn = page.as
				}
				t.Run(page.name, func(t *testing.T) { // its tab is closed at its end
					page.lookedAt(t, s.open(t, b, withLang(page.path, v.lang), v.View), v.name, v.lang)
				})
			}
		})
	}
}

func (page shownPage) lookedAt(t *testing.T, p tab, view, lang string) {
	if page.ready != "" {
		p.waitFor(page.ready)
	}
	if page.do != nil {
		page.do(p)
	}
	if page.complains != "" {
		p.sound(page.name, page.complains)
	} else {
		p.sound(page.name)
	}
	if got := browsertest.Eval[string](t, p.Page, "document.documentElement.lang"); got != lang && page.name != "docs" {
		t.Errorf("%s is in %q, wanted %q", page.name, got, lang)
	}
	if dir := os.Getenv("PAGE_SHOTS"); dir != "" && page.name != "docs" { // it is too long for one picture
		p.Screenshot(t, filepath.Join(dir, page.name+" "+strings.Trim(strings.Fields(view)[0], ",")+".png"))
	}
	if view == "light" && !slices.Contains([]string{"docs", "limits-throw", "link", "report", "reports", "tryout-board"}, page.name) { // those have goldens of their own
		goldenPage(t, page.name+".aloud", p.ReadingOrder(t))
	}
	if page.name != "docs" && !strings.HasPrefix(page.name, "limits-") { // those show the file's own names
		p.inWords(page.name)
	}
	if lang == "es" && page.name != "docs" {
		p.spanish(page.name)
	}
	if view != "200 %" && page.name != "docs" { // it has hundreds of fields
		p.walked(page.name)
	}
}

func withLang(path, lang string) string {
	if path == "/docs" {
		return path // written from the OpenAPI document, which is English
	}
	if strings.Contains(path, "?") {
		return path + "&lang=" + lang
	}
	return path + "?lang=" + lang
}

// changing is what is another in every run: today by the browser's clock, and
// the number of a request.
var changing = regexp.MustCompile(`\b20\d\d-(0[1-46-9]|1[0-2])-\d\d( \d\d:\d\d)?\b|Request [0-9a-f]{32}|[0-9a-f-]{36}`)

// goldenPage holds what a page says against a file; -update writes it anew.
func goldenPage(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("..", "testdata", "pages", name+".golden")
	got = changing.ReplaceAllString(got, "…")
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s (-want +got):\n%s", file, diff)
	}
}

// mostBytes is what a page may weigh with all it loads, as it is sent.
const mostBytes = 100 << 10

// Every page is valid HTML, in both languages, under a policy that lets in no
// script of its own text, and weighs 100 KiB at most with all that it loads.
func TestEveryPageIsValidAndLight(t *testing.T) {
	s := newPageServer(t)
	for _, page := range shownPages(s.demoScene(t)) {
		client := http.DefaultClient
		if page.as != "" {
			client = s.client(t, page.as)
		}
		for _, lang := range []string{"en", "es"} {
			answer, body := get(t, client, s.URL+withLang(page.path, lang))
			for _, wrong := range htmltest.Valid(t, body) {
				t.Errorf("%s in %s: %s", page.name, lang, wrong)
			}
			policy := answer.Header.Get("Content-Security-Policy")
			if !strings.Contains(policy, "default-src 'none'") || strings.Contains(policy, "unsafe") || strings.Contains(policy, "http") {
				t.Errorf("%s has the policy %q", page.name, policy)
			}
		}
		if got := s.weight(t, client, page.path); got > mostBytes {
			t.Errorf("%s weighs %d KiB, wanted %d at most", page.name, got>>10, mostBytes>>10)
		} else {
			t.Logf("%s weighs %d KiB", page.name, got>>10)
		}
	}
}
