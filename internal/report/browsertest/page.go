package browsertest

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// A View is how a page is looked at.
type View struct {
	Width, Height int // CSS pixels; 0 is 1280 by 900
	Dark          bool
	Print         bool // as on paper
}

// On is how a page is laid out on a sheet with margins of 12 mm: 96 CSS pixels
// an inch (CSS Values and Units Level 4, 6.2).
func On(p Paper) View {
	const margins = 2 * 12 / 25.4
	return View{Width: int(96 * (p.Wide - margins)), Height: int(96 * (p.High - margins)), Print: true}
}

// Zoomed is what is left of a 1280 by 1024 window at a zoom in per cent: zoom
// divides the CSS pixels there are (WCAG 2.2, understanding 1.4.4 and 1.4.10).
func Zoomed(percent int) View { return View{Width: 128000 / percent, Height: 102400 / percent} }

// Narrow is the width at which WCAG 2.2, 1.4.10, wants no sideways scrolling.
var Narrow = View{Width: 320, Height: 640}

// A Page is an open page.
type Page struct {
	ctx context.Context

	mu         sync.Mutex
	complaints []string
}

// Serve serves one HTML page under a Content-Security-Policy, and gives its
// address.
func Serve(t testing.TB, html []byte, policy string) string {
	t.Helper()
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path != "/" {
			w.WriteHeader(http.StatusNoContent) // the icon that browsers ask for
			return
		}
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		if policy != "" {
			w.Header().Set("Content-Security-Policy", policy)
		}
		w.Write(html)
	}))
	t.Cleanup(s.Close)
	return s.URL
}

// Open opens an address in a tab of its own. Whatever the browser logs as a
// warning or an error, a policy that was broken too, is kept for Complaints.
func (b *Browser) Open(t testing.TB, url string, v View) *Page {
	t.Helper()
	if v.Width == 0 {
		v.Width, v.Height = 1280, 900
	}
	scheme := "light"
	if v.Dark {
		scheme = "dark"
	}
	medium := ""
	if v.Print {
		medium = "print"
	}
	ctx, stop := chromedp.NewContext(b.ctx)
	t.Cleanup(stop)
	p := &Page{ctx: ctx}
	if err := chromedp.Listen(ctx, p.listen); err != nil {
		t.Fatal(err)
	}
	features := []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}
	err := chromedp.Do(ctx,
		chromedp.EmulateViewport(int64(v.Width), int64(v.Height)),
		command(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: medium, Features: features}),
		chromedp.Navigate(url))
	if err != nil {
		t.Fatalf("open %s: %v", url, err)
	}
	return p
}

// Unguarded opens further documents as if they had no Content-Security-Policy,
// so that nothing hides what a page lets in.
func (p *Page) Unguarded(t testing.TB) {
	t.Helper()
	Run(t, p, command(page.SetBypassCSP, page.SetBypassCSPParams{Enabled: true}))
}

// command is a protocol command whose answer nobody needs.
func command[P, R any](c cdp.Command[P, R], params P) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, c, params)
		return err
	})
}

func (p *Page) listen(event any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch e := event.(type) {
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError || e.Entry.Level == log.EntryLevelWarning {
			p.complaints = append(p.complaints, e.Entry.Text)
		}
	case *runtime.EventExceptionThrown:
		p.complaints = append(p.complaints, e.ExceptionDetails.Text)
	}
}

// Complaints are the warnings and errors that the browser logged so far.
func (p *Page) Complaints() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]string(nil), p.complaints...)
}

// Run does a further thing with a page and gives its answer.
func Run[T any](t testing.TB, p *Page, action chromedp.Action[T]) T {
	t.Helper()
	ctx, stop := context.WithTimeout(p.ctx, patience)
	defer stop()
	answer, err := chromedp.Run(ctx, action)
	if err != nil {
		t.Fatal(err)
	}
	return answer
}

// Eval evaluates JavaScript in a page, waits for a promise, and gives the answer.
func Eval[T any](t testing.TB, p *Page, script string) T {
	t.Helper()
	return Run(t, p, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
}

// TooWide lists the elements that stick out at the right of the window, which
// makes a reader scroll sideways; those inside a box that scrolls, or for ears only, do not count.
func (p *Page) TooWide(t testing.TB) []string {
	t.Helper()
	return Eval[[]string](t, p, `(() => {
		const wide = document.documentElement.clientWidth, out = [];
		if (document.documentElement.scrollWidth > wide) out.push("the page: " + document.documentElement.scrollWidth + " of " + wide);
		for (const e of document.body.querySelectorAll("*")) {
			if (e.closest(".scroll, .unseen") || e.closest("svg") !== null && e.tagName !== "svg") continue;
			const r = e.getBoundingClientRect();
			if (r.width > 1 && r.right > wide + 1) out.push(e.tagName + "." + e.getAttribute("class") + " ends at " + Math.round(r.right));
		}
		return out;
	})()`)
}

// Screenshot writes the whole page as PNG.
func (p *Page) Screenshot(t testing.TB, file string) {
	t.Helper()
	png := Run(t, p, chromedp.FullScreenshot(100))
	if err := os.WriteFile(file, png, 0o644); err != nil {
		t.Fatal(err)
	}
}

// fromRoot is a file of the module, found from the folder that a test runs in.
func fromRoot(name string) (string, error) {
	dir, err := os.Getwd()
	for err == nil {
		if _, missing := os.Stat(filepath.Join(dir, "go.mod")); missing == nil {
			return filepath.Join(dir, filepath.FromSlash(name)), nil
		}
		if up := filepath.Dir(dir); up != dir {
			dir = up
			continue
		}
		err = fmt.Errorf("no go.mod above the folder of the test")
	}
	return "", err
}
