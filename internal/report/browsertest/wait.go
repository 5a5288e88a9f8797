package browsertest

import (
	"context"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// WaitFor waits until a JavaScript expression holds, across navigations too.
func (p *Page) WaitFor(t testing.TB, expression string) {
	t.Helper()
	ctx, stop := context.WithTimeout(p.ctx, patience)
	defer stop()
	for {
		holds, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("!!("+expression+")"))
		if err == nil && holds {
			return
		}
		if ctx.Err() != nil {
			t.Fatalf("waited in vain for %s (%v); the browser complains of %q; the page says:\n%s", expression, err, p.Complaints(), p.words())
		}
		time.Sleep(40 * time.Millisecond)
	}
}

// words are what the page shows, for a message.
func (p *Page) words() string {
	ctx, stop := context.WithTimeout(p.ctx, 5*time.Second)
	defer stop()
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string]("location.href + '\\n' + document.body.innerText"))
	if err != nil {
		return err.Error()
	}
	return text[:min(len(text), 2500)]
}
