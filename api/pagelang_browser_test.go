//go:build !race

package api_test

import (
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
	"go.yaml.in/yaml/v3"

	"rootcue/internal/report/browsertest"
)

var htmlLang = regexp.MustCompile(`<html lang="([a-z]+)"`)

// in asks for a page with an Accept-Language and gives its language, after
// checking that the answer tells it and what it depends on.
func (s *pageServer) in(t *testing.T, c *http.Client, path, accept string) string {
	t.Helper()
	r, err := http.NewRequest("GET", s.URL+path, nil)
	if err != nil {
		t.Fatal(err)
	}
	if accept != "" {
		r.Header.Set("Accept-Language", accept)
	}
	answer, body := did(t, c, r)
	m := htmlLang.FindSubmatch(body)
	if m == nil {
		t.Fatalf("%s is answered %d without a language: %.200s", path, answer.StatusCode, body)
	}
	lang := string(m[1])
	if got := answer.Header.Get("Content-Language"); got != lang {
		t.Errorf("%s is in %s, its Content-Language is %q", path, lang, got)
	}
	vary := strings.Join(answer.Header.Values("Vary"), ", ")
	if path != "/docs" && (!strings.Contains(vary, "Accept-Language") || !strings.Contains(vary, "Cookie")) {
		t.Errorf("%s varies by %q", path, vary)
	}
	return lang
}

// Every page comes in the language that the browser asks for, and in the one
// that is chosen by the switch.
func TestEveryPageInItsLanguage(t *testing.T) {
	s := newPageServer(t)
	clients := map[string]*http.Client{"": http.DefaultClient}
	for _, page := range shownPages(s.demoScene(t)) {
		if clients[page.as] == nil {
			clients[page.as] = s.client(t, page.as)
		}
		for accept, want := range map[string]string{"": "en", "es-MX,es;q=0.9,en;q=0.1": "es", "en;q=0.2, es;q=0.1": "en", "xx;q=no,,;": "en"} {
			if page.name == "docs" {
				want = "en" // written from the OpenAPI document, which is English
			}
			if got := s.in(t, clients[page.as], page.path, accept); got != want {
				t.Errorf("%s for %q is in %s, wanted %s", page.name, accept, got, want)
			}
		}
		if got := s.in(t, &http.Client{Jar: jar(t, clients[page.as], s.URL)}, withLang(page.path, "es"), "en"); got != "es" && page.name != "docs" {
			t.Errorf("%s with the switch on Spanish is in %s", page.name, got)
		}
	}
}

// jar holds the cookies that a client has by now, and keeps new ones to itself.
func jar(t *testing.T, c *http.Client, address string) http.CookieJar {
	t.Helper()
	own, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	at, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	if c.Jar != nil {
		own.SetCookies(at, c.Jar.Cookies(at))
	}
	return own
}

// The switch without JavaScript: it is a link, holds for the pages after it, for
// the form that is shown again after a bad key, and on after signing in.
func TestSwitchWithoutScript(t *testing.T) {
	s := newPageServer(t)
	c := &http.Client{Jar: jar(t, http.DefaultClient, s.URL)}
	_, body := get(t, c, s.URL+"/sign-in?next=/review%3Fon%3D2026-05-03")
	link := regexp.MustCompile(`href="([^"]*lang=es[^"]*)"`).FindSubmatch(body)
	if link == nil {
		t.Fatal("no switch")
	}
	answer, body := get(t, c, s.URL+strings.ReplaceAll(string(link[1]), "&amp;", "&"))
	if !strings.Contains(string(body), `value="/review?on=2026-05-03"`) || answer.StatusCode != 200 {
		t.Errorf("the switch lost where to go then: %s", body)
	}
	for _, key := range []string{"rc_wrong", s.secrets["edit"]} {
		answer, err := c.PostForm(s.URL+"/sign-in", url.Values{"key": {key}, "next": {"/review?on=2026-05-03"}})
		if err != nil {
			t.Fatal(err)
		}
		_, body := whole(t, answer)
		if m := htmlLang.FindSubmatch(body); m == nil || string(m[1]) != "es" {
			t.Errorf("after the key the page is not in Spanish: %.300s", body)
		}
		if key == "rc_wrong" && !strings.Contains(string(body), `href="/sign-in?lang=en&amp;next=%2Freview%3Fon%3D2026-05-03"`) {
			t.Error("after a bad key the switch forgets where to go then")
		}
		if key != "rc_wrong" && answer.Request.URL.RequestURI() != "/review?on=2026-05-03" {
			t.Errorf("signed in, one is at %s", answer.Request.URL)
		}
	}
	if got := s.in(t, c, "/rubrics", "en"); got != "es" {
		t.Errorf("the switch is forgotten: %s", got)
	}
	if got := s.in(t, c, "/rubrics?lang=xx", "en"); got != "es" {
		t.Errorf("a language that there is not changes it to %s", got)
	}
	get(t, c, s.URL+"/rubrics?lang=en")
	if got := s.in(t, c, "/rubrics", "es"); got != "en" {
		t.Errorf("switched back, it is in %s", got)
	}
}

// The switch by the keyboard alone, kept over signing in; and that of a report,
// which is read without a session too.
func TestSwitchByKeyboard(t *testing.T) {
	s := newPageServer(t)
	s.demoStored(t)
	b := browsertest.Start(t)
	p := s.open(t, b, "/sign-in?next=/rubrics", browsertest.View{})
	p.tabTo(`.langs a[lang=es]`)
	p.press(kb.Enter)
	p.waitFor(`document.documentElement.lang === "es" && document.readyState === "complete"`)
	p.tabTo("#key")
	p.press(s.secrets["edit"])
	p.press(kb.Enter)
	p.waitFor(`location.pathname === "/rubrics" && document.documentElement.lang === "es"`)
	p = s.open(t, b, "/v1/assessments/"+s.assessmentOf(t, "D-03")+"/report", browsertest.Narrow)
	p.waitFor(`document.documentElement.lang === "es"`)
	p.tabTo(`.langs a[lang=en]`)
	p.press(kb.Enter)
	p.waitFor(`document.documentElement.lang === "en"`)
	p.sound("report with its switch")
	p.shot("report-switch")
}

// visible are the texts that a reader sees or hears in the language of the page,
// each with whether it is free of what the rubric says: not those marked as in
// another language, nor what people typed into fields. Labels of parts and of
// drawings can mark no part of them; rubrics keep their own language there.
const visible = `[...document.querySelectorAll("*")].filter((e) => e.closest("[lang]")?.lang === document.documentElement.lang && !e.closest("script, style, noscript, pre, code, textarea")).flatMap((e) => [
	...[...e.childNodes].filter((n) => n.nodeType === Node.TEXT_NODE).map((n) => ({ text: n.data, free: !e.closest("svg") })),
	...["aria-label", "title", "alt", "placeholder", "data-label", "aria-description"].map((a) => ({ text: e.getAttribute(a) ?? "", free: false })),
]).map(({ text, free }) => ({ text: text.replace(/\s+/g, " ").trim(), free })).filter(({ text }) => /\p{L}{2}/u.test(text))`

// english finds the texts of both catalogues that are another in Spanish, as
// patterns of a whole text, and by them what was left in English.
func english(t testing.TB) map[string]*regexp.Regexp {
	t.Helper()
	found := map[string]*regexp.Regexp{}
	for _, file := range []string{"../internal/report/pages/texts.yaml", "../internal/report/texts.yaml"} {
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var texts map[string]struct{ En, Es string }
		if err := yaml.Unmarshal(b, &texts); err != nil {
			t.Fatal(err)
		}
		for key, text := range texts {
			if text.En != text.Es && strings.ContainsFunc(inWords.ReplaceAllString(text.En, ""), func(r rune) bool { return r >= 'A' }) {
				found[key] = regexp.MustCompile("^" + inWords.ReplaceAllString(regexp.QuoteMeta(text.En), ".+") + "$")
			}
		}
	}
	if len(found) < 400 {
		t.Fatalf("%d texts", len(found))
	}
	return found
}

// inWords are the words in braces of a text, as they are or quoted.
var inWords = regexp.MustCompile(`\\?\{[a-z-]+\\?\}`)

// onlyEnglish are words that no Spanish text has.
var onlyEnglish = regexp.MustCompile(`(?i)\b(the|of|and|is|are|with|from|was|not|for|this|that|which|what)\b`)

// spanish fails where a page in Spanish shows a text of the catalogue in
// English, or any other that is no Spanish and not marked as something else.
func (p tab) spanish(name string) {
	p.t.Helper()
	shown := browsertest.Eval[[]struct {
		Text string
		Free bool
	}](p.t, p.Page, visible)
	if len(shown) < 5 {
		p.t.Errorf("%s shows only %v", name, shown)
	}
	texts := english(p.t)
	for _, s := range shown {
		if w := onlyEnglish.FindString(s.Text); w != "" && s.Free {
			p.t.Errorf("%s says %q in %q", name, w, s.Text)
		}
		for key, is := range texts {
			if is.MatchString(s.Text) && (s.Free || !strings.Contains(is.String(), ".+")) {
				p.t.Errorf("%s says %q, which is the English of %s", name, s.Text, key)
			}
		}
	}
}

// inWords fails where a page shows the name of a measure, or a comparison, as
// the rubric's file writes it.
func (p tab) inWords(name string) {
	p.t.Helper()
	for _, text := range browsertest.Eval[[]string](p.t, p.Page, `[...document.querySelectorAll("body *:not(script, style, pre, code, textarea)")].flatMap((e) => [...e.childNodes].filter((n) => n.nodeType === Node.TEXT_NODE && /[a-z]_[a-z]|[=!]=|&&|\|\|/.test(n.data)).map((n) => n.data.trim()))`) {
		p.t.Errorf("%s shows %q", name, text)
	}
}
