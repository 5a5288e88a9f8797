// Package browsertest opens pages in headless Chromium for tests: what axe-core
// finds wrong, in which order they are read aloud, whether they fit, and how
// many sheets they print on. A machine without Chromium fails the test.
package browsertest

import (
	"context"
	"os/exec"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// patience is how long one step may take on a busy machine.
const patience = time.Minute

// A Browser is one headless Chromium with a profile of its own.
type Browser struct{ ctx context.Context }

// Start starts Chromium for one test and ends it with the test.
func Start(t testing.TB) *Browser {
	t.Helper()
	return StartIn(t, t.TempDir())
}

// StartIn is Start with a profile that can outlive the browser, and further
// options.
func StartIn(t testing.TB, profile string, more ...chromedp.ExecAllocatorOption) *Browser {
	t.Helper()
	path := chromium(t)
	options := []chromedp.ExecAllocatorOption{
		chromedp.ExecPath(path), chromedp.UserDataDir(profile),
		chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.WSURLReadTimeout(patience),
	}
	ctx, stopAllocator := chromedp.NewExecAllocator(context.Background(), append(options, more...)...)
	ctx, stopBrowser := chromedp.NewContext(ctx)
	t.Cleanup(func() {
		stopBrowser()
		stopAllocator()
	})
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("%s did not start: %v", path, err)
	}
	return &Browser{ctx}
}

// chromium finds the browser under the names that distributions give it.
func chromium(t testing.TB) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	t.Fatal("no Chromium found; .ci/install installs it")
	return ""
}
