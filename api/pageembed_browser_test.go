//go:build !race

package api_test

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"rootcue/internal/report/browsertest"
)

// clubSite is a page of another origin that has an address in a frame.
func clubSite(t testing.TB, embedded *string) string {
	t.Helper()
	site := httptest.NewTLSServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		fmt.Fprintf(w, `<!doctype html><html lang="en"><title>Our club</title><iframe title="Report" src="%s"></iframe>`, *embedded)
	}))
	t.Cleanup(site.Close)
	return site.URL
}

// The web developer's task: the report behind a family's link shows in a page of
// an origin that the club lists, and the browser refuses it in any other.
func TestReportEmbeddedInAnotherOrigin(t *testing.T) {
	s := newPageServer(t)
	s.demoStored(t)
	reports := httptest.NewTLSServer(s.clubServer)
	t.Cleanup(reports.Close)
	var link string
	listed, other := clubSite(t, &link), clubSite(t, &link)
	tag := s.ask(t, "admin", "GET", "/v1/settings", "").Header().Get("ETag")
	s.must(t, "admin", "PUT", "/v1/settings", `{"time_zone": "UTC", "policies": [], "team_policies": {}, "review_first": false, "frame_ancestors": ["`+listed+`"], "web_origins": [], "keep_months": 0}`, "If-Match", tag)
	var made struct{ Path string }
	if err := json.Unmarshal(s.must(t, "edit", "POST", "/v1/links", `{"assessment": "`+s.assessmentOf(t, "D-03")+`"}`), &made); err != nil {
		t.Fatal(err)
	}
	link = reports.URL + made.Path
	b := browsertest.StartIn(t, t.TempDir(), chromedp.Flag("ignore-certificate-errors", true))
	for site, want := range map[string]string{listed: link, other: "chrome-error://chromewebdata/"} {
		p := b.Open(t, site, browsertest.View{}) // waits for the frame too
		var tree page.GetFrameTreeResult
		browsertest.Run(t, p, chromedp.Func(func(ctx context.Context, target *chromedp.Target) (err error) {
			tree, err = cdp.Call(ctx, target, page.GetFrameTree, cdp.Empty{})
			return err
		}))
		frames := tree.FrameTree.ChildFrames
		if len(frames) != 1 || frames[0].Frame.URL != want {
			t.Errorf("in %s the frame shows %+v, wanted %s", site, frames, want)
		}
	}
}
