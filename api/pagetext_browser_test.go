//go:build !race

package api_test

import (
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"rootcue/internal/report/browsertest"
)

// Whatever people type, and whatever comes out of a file, a table or an address,
// is text on every page, before and after its script has worked with it: nothing
// of it runs, opens a dialog or becomes an element, and it is read to the letter.
// The pages are opened without their Content-Security-Policy, which would hide
// what they let in.
func TestTextStaysText(t *testing.T) {
	t.Parallel() // it waits for the browser most of the time
	s := newPageServer(t)
	sc := s.harmfulScene(t)
	b, signedIn := browsertest.Start(t), ""
	visit := func(t *testing.T, page shownPage, acts []func(tab)) (fields []string) {
		p := tab{b.Open(t, "about:blank", browsertest.View{}), t}
		p.Unguarded(t)
		p.BeforeLoad(t, alarmed)
		if page.as != signedIn {
			browsertest.Run(t, p.Page, chromedp.Navigate(s.URL+"/sign-in"))
			p.signIn(s.secrets[page.as])
			signedIn = page.as
		}
		browsertest.Run(t, p.Page, chromedp.Navigate(s.URL+page.path))
		if page.ready != "" {
			p.waitFor(page.ready)
		}
		if page.do != nil {
			page.do(p)
		}
		for _, act := range append([]func(tab){func(tab) {}}, acts...) {
			act(p)
			fields = append(fields, p.harmless()...)
		}
		slices.Sort(fields)
		return slices.Compact(fields)
	}
	all := shownPages(sc)
	for name, path := range map[string]string{
		"to-go-to": "/sign-in?next=/" + url.QueryEscape(short("to-go-to")),
		"day":      "/review?on=" + url.QueryEscape(harm("day")),
		"start":    "/groups/catchers/plan?minutes=60&turn=12&helpers=1&start=" + url.QueryEscape(harm("start")),
		"asked":    "/entry?rubric=" + url.QueryEscape(harm("asked")),
		"absent":   "/tryouts/" + sc.tryout + "/bibs/" + url.PathEscape(short("absent")) + "?lang=" + url.QueryEscape(harm("lang")) + "&" + url.QueryEscape(harm("query")),
	} {
		all = append(all, shownPage{name: name, path: path, as: "edit"})
	}
	acts := s.harmfulActs(sc)
	for _, page := range all {
		t.Run(page.name, func(t *testing.T) {
			want := strings.Fields(textsOn[page.name])
			slices.Sort(want)
			if diff := cmp.Diff(want, visit(t, page, acts[page.name]), cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("texts of these fields stand there to the letter (-wanted +got):\n%s", diff)
			}
		})
	}
}

// alarmed notes what a script of the texts would call.
const alarmed = `window.alarms = []; for (const f of ["alert", "confirm", "prompt"]) window[f] = (x) => { alarms.push(f + " " + x) }`

// findAll gives what was called, what stands in the page that can only come from
// a text, and every text that is read in it or typed into it.
const findAll = `(() => {
	const texts = [document.title], walk = document.createTreeWalker(document, NodeFilter.SHOW_TEXT | NodeFilter.SHOW_ELEMENT);
	for (let n = walk.nextNode(); n; n = walk.nextNode()) {
		if (n.nodeType === Node.TEXT_NODE) { texts.push(n.data); continue; }
		if ("value" in n) texts.push(String(n.value));
		for (const a of n.attributes) texts.push(a.value);
	}
	const planted = 'x-harm, [onerror], img, iframe, object, embed, base, script:not([src]):not(#words), [href^="javascript:" i], [action^="javascript:" i], [src^="javascript:" i], [formaction]';
	return {
		Alarms: alarms, Planted: [...document.querySelectorAll(planted)].map((e) => e.outerHTML.slice(0, 200)),
		Texts: [...new Set(texts.filter((x) => x.includes("x-harm") || x.includes("onerror")))],
	};
})()`

var harmed = regexp.MustCompile(`([a-z-]+)` + regexp.QuoteMeta(shortHarm))

// harmless fails where a text did more than being read, and gives the fields
// whose texts the page shows to the letter.
func (p tab) harmless() (fields []string) {
	p.t.Helper()
	found := browsertest.Eval[struct{ Alarms, Planted, Texts []string }](p.t, p.Page, findAll)
	if len(found.Alarms) > 0 || len(found.Planted) > 0 {
		p.t.Errorf("called: %q; in the page: %q", found.Alarms, found.Planted)
	}
	for _, text := range found.Texts {
		if strings.Contains(text, "&lt;") {
			p.t.Errorf("escaped twice: %s", text)
		}
		for _, m := range harmed.FindAllStringSubmatch(strings.ReplaceAll(text, `\"`, `"`), -1) { // what was found may stand in quotes
			fields = append(fields, m[1])
		}
		if strings.Contains(text, bareHarm+"E1") {
			fields = append(fields, "evaluator")
		}
		if strings.Contains(text, tinyHarm) {
			fields = append(fields, "bib")
		}
	}
	return fields
}
