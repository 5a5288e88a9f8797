package report

import (
	"crypto/sha256"
	"encoding/base64"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"rootcue/internal/report/htmltest"
)

// TestValidHTML: valid, nothing to run, fill in or fetch, one style element, no
// empty paragraph, at most 100 KB.
func TestValidHTML(t *testing.T) {
	for name, in := range demos(t) {
		t.Run(name, func(t *testing.T) {
			page := written(t, in)
			for _, w := range htmltest.Valid(t, page) {
				t.Error(w)
			}
			styles := 0
			htmltest.Elements(htmltest.Parse(t, page), func(n *html.Node) {
				switch {
				case slices.Contains([]string{"script", "iframe", "img", "link", "form", "object"}, n.Data):
					t.Errorf("a <%s>", n.Data)
				case n.Data == "style":
					styles++
				case n.Data == "p" && htmltest.Text(n) == "":
					t.Error("an empty paragraph")
				case strings.HasPrefix(htmltest.Attr(n, "href"), "/") || strings.Contains(htmltest.Attr(n, "href"), ":"):
					t.Errorf("a link to %s", htmltest.Attr(n, "href"))
				}
			})
			if styles != 1 {
				t.Errorf("%d style elements", styles)
			}
			if kb := float64(len(page)) / 1024; kb > 100 {
				t.Errorf("%.0f KB, wanted 100 at most", kb)
			}
		})
	}
}

// TestPolicyFitsTheStyle: the hash in the policy is of the style element's bytes
// as they stand in the page (Content Security Policy Level 3, 6.7.2).
func TestPolicyFitsTheStyle(t *testing.T) {
	page := string(written(t, demos(t)["alone"]))
	_, after, _ := strings.Cut(page, "<style>")
	style, _, ok := strings.Cut(after, "</style>")
	sum := sha256.Sum256([]byte(style))
	want := "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'; base-uri 'none'; form-action 'none'"
	if !ok || ContentSecurityPolicy != want {
		t.Errorf("policy %s\nwanted %s", ContentSecurityPolicy, want)
	}
}
