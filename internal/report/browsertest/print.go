package browsertest

import (
	"context"
	"regexp"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// A Paper is a sheet, in inches.
type Paper struct{ Wide, High float64 }

// The papers of ISO 216 and ANSI/ASME Y14.1.
var (
	A4     = Paper{210 / 25.4, 297 / 25.4}
	Letter = Paper{8.5, 11}
)

// PDF prints the page, without backgrounds, as browsers do unless told.
func (p *Page) PDF(t testing.TB, paper Paper) []byte {
	t.Helper()
	params := page.PrintToPDFParams{PaperWidth: paper.Wide, PaperHeight: paper.High}
	return Run(t, p, func(ctx context.Context, target *chromedp.Target) ([]byte, error) {
		r, err := cdp.Call(ctx, target, page.PrintToPDF, params)
		return r.Data, err
	})
}

// pageObject is a page of a PDF (ISO 32000-1, 7.7.3.3), which Chromium writes
// uncompressed.
var pageObject = regexp.MustCompile(`/Type\s*/Page\b`)

// Sheets counts the pages of a PDF.
func Sheets(pdf []byte) int { return len(pageObject.FindAll(pdf, -1)) }
