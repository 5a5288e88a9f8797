package pages_test

import (
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"rootcue/internal/report/browsertest"
	"rootcue/internal/report/pages"
)

// served gives the address of a page, with the styles and scripts it names, as
// the server sends it.
func served(t testing.TB, page []byte) string {
	t.Helper()
	mux := http.NewServeMux()
	mux.Handle("/static/", http.StripPrefix("/static/", http.FileServer(http.Dir(filepath.Join("..", "..", "..", "api", "static")))))
	mux.HandleFunc("/{$}", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.Header().Set("Content-Security-Policy", pages.Policy)
		w.Write(page)
	})
	s := httptest.NewServer(mux)
	t.Cleanup(s.Close)
	return s.URL
}

// ready holds when the page's script has shown what works by it.
const ready = `document.readyState === "complete" && !document.querySelector(".scripted[hidden]")`

// labelsCut lists the labels that reach out of their chart.
const labelsCut = `[...document.querySelectorAll("svg text")].filter(e => {
	const box = e.getBBox(), all = e.ownerSVGElement.viewBox.baseVal;
	return box.x < -1 || box.x + box.width > all.width + 1 || box.y < -1 || box.y + box.height > all.height + 2;
}).map(e => "cut: " + e.textContent)`

// inViews are the views in which a page is looked at, light alone if none are
// named; between them every part of a page is seen in every view.
var inViews = map[string][]string{
	"board": {"dark", "320", "200", "A4"}, "group-spanish": {"dark", "320", "A4", "Letter"},
	"board-large": {"320", "Letter"}, "board-apart": {"320"}, "bib": {"A4"},
}

// TestBoardsInABrowser opens the pages in both colour schemes, at 320 px, at
// 200 % zoom and as they are printed on A4 and Letter: axe-core finds nothing,
// nothing sticks out at the side, no label is cut, and the browser has nothing
// to complain of under the page's own policy.
func TestBoardsInABrowser(t *testing.T) {
	browser := browsertest.Start(t)
	views := map[string]browsertest.View{"light": {}, "dark": {Dark: true}, "320": browsertest.Narrow, "200": browsertest.Zoomed(200), "A4": browsertest.On(browsertest.A4), "Letter": browsertest.On(browsertest.Letter)}
	for name, s := range boards(t) {
		url := served(t, written(t, s))
		for view, v := range views {
			if in := inViews[name]; view != "light" && !slices.Contains(in, view) || view == "light" && in != nil {
				continue
			}
			t.Run(name+" "+view, func(t *testing.T) {
				page := browser.Open(t, url, v)
				page.WaitFor(t, ready)
				browsertest.Eval[bool](t, page, `document.querySelectorAll("details").forEach(d => d.open = true), true`)
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
				if dir := os.Getenv("PAGE_SHOTS"); dir != "" {
					page.Screenshot(t, filepath.Join(dir, name+"-"+view+".png"))
				}
			})
		}
	}
}

// TestBoardsReadAloud holds the order in which two pages are read aloud.
func TestBoardsReadAloud(t *testing.T) {
	browser := browsertest.Start(t)
	all := boards(t)
	for _, name := range []string{"board", "group"} {
		page := browser.Open(t, served(t, written(t, all[name])), browsertest.View{})
		page.WaitFor(t, ready)
		golden(t, name+".aloud", page.ReadingOrder(t))
	}
}

// TestBoardOnPaper: the board of sixty bibs prints on few sheets, the group's
// plan on two, both with the caution that stands under every page.
func TestBoardOnPaper(t *testing.T) {
	browser := browsertest.Start(t)
	all := boards(t)
	for name, most := range map[string]int{"board": 4, "board-large": 9, "group": 2} {
		url := served(t, written(t, all[name]))
		for _, paper := range []browsertest.Paper{browsertest.A4, browsertest.Letter} {
			pdf := browser.Open(t, url, browsertest.View{}).PDF(t, paper)
			if n := browsertest.Sheets(pdf); n < 1 || n > most {
				t.Errorf("%s on %v: %d sheets, wanted %d at most", name, paper, n, most)
			}
		}
		printed := browser.Open(t, url, browsertest.On(browsertest.A4))
		if !browsertest.Eval[bool](t, printed, `document.querySelector("footer").offsetHeight > 0 && !document.querySelector("form")?.offsetHeight`) {
			t.Errorf("%s: the caution does not print, or a form does", name)
		}
	}
}
