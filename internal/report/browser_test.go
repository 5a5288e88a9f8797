package report

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/internal/report/browsertest"
)

// written is a demo's page.
func written(t testing.TB, in Input) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, in); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// UPDATE_REPORTS=1 writes the goldens anew.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("..", "..", "testdata", "report", name+".golden")
	if os.Getenv("UPDATE_REPORTS") != "" {
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

// inAllViews are the demos that between them have every part of a page.
var inAllViews = []string{"spanish", "flying", "stopped", "blocking"}

// TestPagesInABrowser opens every demo, and some in both colour schemes, at
// 320 px and at 200 % zoom, the fold open: axe-core finds nothing, nothing sticks
// out, no label is cut, and the browser has nothing to complain of, least of all
// under the page's own policy.
func TestPagesInABrowser(t *testing.T) {
	browser := browsertest.Start(t)
	views := map[string]browsertest.View{"light": {}, "dark": {Dark: true}, "320 px": browsertest.Narrow, "200 %": browsertest.Zoomed(200)}
	for name, in := range demos(t) {
		url := browsertest.Serve(t, written(t, in), ContentSecurityPolicy+"; frame-ancestors 'none'")
		for view, v := range views {
			if view != "light" && !slices.Contains(inAllViews, name) {
				continue
			}
			t.Run(name+" "+view, func(t *testing.T) {
				page := browser.Open(t, url, v)
				browsertest.Eval[bool](t, page, `document.querySelector("details").open = true`)
				for _, found := range page.Axe(t) {
					t.Error(found)
				}
				for _, wide := range page.TooWide(t) {
					t.Error(wide)
				}
				for _, cut := range browsertest.Eval[[]string](t, page, labelsCut) {
					t.Error(cut)
				}
				for _, c := range page.Complaints() {
					t.Error(c)
				}
			})
		}
	}
}

// labelsCut lists the labels that reach out of their drawing.
const labelsCut = `[...document.querySelectorAll("svg text")].filter(e => {
	const box = e.getBBox(), all = e.ownerSVGElement.viewBox.baseVal;
	return box.x < -1 || box.x + box.width > all.width + 1 || box.y < -1 || box.y + box.height > all.height + 2;
}).map(e => "cut: " + e.textContent)`

// TestColours: what is drawn takes its colours from the scheme, so that it is
// seen in both.
func TestColours(t *testing.T) {
	browser := browsertest.Start(t)
	url := browsertest.Serve(t, written(t, demos(t)["full"]), "")
	colour := func(v browsertest.View) string {
		return browsertest.Eval[string](t, browser.Open(t, url, v),
			`[getComputedStyle(document.body).backgroundColor, getComputedStyle(document.querySelector("path.seen")).stroke, getComputedStyle(document.querySelector("path.bar")).fill].join(" ")`)
	}
	light, dark := colour(browsertest.View{}), colour(browsertest.View{Dark: true})
	if light == dark || strings.Contains(light+dark, "none") {
		t.Errorf("light %s, dark %s", light, dark)
	}
}

// TestPrintsOnTwoSheets prints every demo, the fold closed.
func TestPrintsOnTwoSheets(t *testing.T) {
	browser := browsertest.Start(t)
	papers := map[string]browsertest.Paper{"A4": browsertest.A4, "Letter": browsertest.Letter}
	for name, in := range demos(t) {
		page := browser.Open(t, browsertest.Serve(t, written(t, in), ""), browsertest.View{})
		for paper, size := range papers {
			pdf := page.PDF(t, size)
			if n := browsertest.Sheets(pdf); n < 1 || n > 2 {
				t.Errorf("%s on %s: %d sheets, wanted two at most", name, paper, n)
			}
			if dir := os.Getenv("REPORT_PDF"); dir != "" {
				os.WriteFile(filepath.Join(dir, fmt.Sprintf("%s-%s.pdf", name, paper)), pdf, 0o644)
			}
		}
	}
}

// TestReadingOrder holds the order in which two pages are read aloud.
func TestReadingOrder(t *testing.T) {
	browser := browsertest.Start(t)
	for _, name := range []string{"reviewed", "stopped"} {
		page := browser.Open(t, browsertest.Serve(t, written(t, demos(t)[name]), ""), browsertest.View{})
		golden(t, name+".aloud", page.ReadingOrder(t))
	}
}

// TestTheWayBack: the link beside a thing to work on opens the fold at its
// numbers.
func TestTheWayBack(t *testing.T) {
	browser := browsertest.Start(t)
	page := browser.Open(t, browsertest.Serve(t, written(t, demos(t)["full"]), ContentSecurityPolicy), browsertest.View{})
	opened := browsertest.Eval[[]string](t, page, `(async () => {
		const a = document.querySelector(".way-back a"), before = document.querySelector("details").open;
		a.click();
		await new Promise(done => setTimeout(done, 50));
		const to = document.querySelector(a.getAttribute("href"));
		return [String(before), String(document.querySelector("details").open), to.textContent];
	})()`)
	if !slices.Equal(opened, []string{"false", "true", "The ball is fumbled at the change of hands"}) {
		t.Errorf("before, after, heading: %q", opened)
	}
}
