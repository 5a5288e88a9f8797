package browsertest

import (
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// Kill ends the browser at once, as a crash or an empty battery would: nothing
// is closed and nothing is written any more.
func (b *Browser) Kill(t testing.TB) {
	t.Helper()
	process := chromedp.FromContext(b.ctx).Browser.Process()
	if err := process.Kill(); err != nil {
		t.Fatal(err)
	}
	for range 100 { // its child processes notice a little later
		if _, err := chromedp.Run(b.ctx, chromedp.Evaluate[int]("1")); err != nil {
			break
		}
		time.Sleep(50 * time.Millisecond)
	}
	time.Sleep(500 * time.Millisecond)
}
