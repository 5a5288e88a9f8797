package browsertest

import (
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/storage"
)

// BeforeLoad runs a script in each document that the page loads from now on,
// before any of its own.
func (p *Page) BeforeLoad(t testing.TB, script string) {
	t.Helper()
	Run(t, p, command(page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script}))
}

// Quota bounds what the browser keeps for an origin, in bytes; 0 is its own
// bound again.
func (p *Page) Quota(t testing.TB, origin string, bytes float64) {
	t.Helper()
	params := storage.OverrideQuotaForOriginParams{Origin: origin}
	if bytes > 0 {
		params.QuotaSize = &bytes
	}
	Run(t, p, command(storage.OverrideQuotaForOrigin, params))
}
