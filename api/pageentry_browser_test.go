//go:build !race

package api_test

import (
	"encoding/json"
	"fmt"
	"net/url"
	"testing"

	"github.com/chromedp/chromedp"

	"rootcue/internal/report/browsertest"
)

// phone is a small phone held upright.
var phone = browsertest.View{Width: 360, Height: 740}

// enter enters one try of a player by thumb and saves it.
func (p tab) enter(ref string, unsent int) {
	p.t.Helper()
	p.fill("#ref", ref)
	p.fill("#age", "12")
	p.click(`[data-measure="set_on_time"] label:nth-of-type(1)`)
	p.click(`[data-measure="quiet_hand"] label:nth-of-type(4)`)
	p.click("#save")
	p.waitFor(fmt.Sprintf(`document.getElementById("notice").textContent.includes(%q)`, ref))
	if unsent >= 0 {
		p.says("#count", fmt.Sprintf("%d not sent", unsent))
	}
}

// The evaluator's day: ten players, the net gone for the last six of them, the
// page reloaded and the browser killed on the way. All ten arrive, once.
func TestTenPlayersOnAPhone(t *testing.T) {
	s := newPageServer(t)
	profile := t.TempDir()
	b := browsertest.StartIn(t, profile)
	const path = "/entry?rubric=receiving"
	p := s.signedIn(t, b, "submit", url.QueryEscape(path), phone)
	p.waitFor(`document.body.dataset.ready`)
	p.fill("#session", "field-a")
	p.fill("#rater", "E1")
	for i := range 4 {
		p.enter(fmt.Sprintf("P-%02d", i), 0)
	}
	s.cut.Store(true)
	p.enter("P-04", 1)
	p.enter("P-05", 2)
	browsertest.Run(t, p.Page, chromedp.Reload())
	p.waitFor(`document.body.dataset.started`)
	p.says("#count", "2 not sent")
	p.enter("P-06", 3)
	p.enter("P-07", 4)
	if got := p.text("#kept"); got == "" {
		t.Error("nothing says that it is kept")
	}

	b.Kill(t)
	b = browsertest.StartIn(t, profile)
	p = s.open(t, b, path, phone) // the net is still gone
	p.says("#count", "4 not sent")
	p.enter("P-08", 5)
	p.enter("P-09", 6)

	s.cut.Store(false)
	p.click("#send")
	p.waitFor(`/^0 not sent/.test(document.getElementById("count").textContent) || document.querySelector("#kept a")`)
	if p.text("#kept") != "" { // the browser lost its cookie with its life
		p.click("#kept a")
		p.waitFor(`location.pathname === "/sign-in"`)
		p.signIn(s.secrets["submit"])
	}
	p.says("#count", "0 not sent")
	stored := s.stored(t)
	if len(stored) != 10 {
		t.Errorf("%d assessments are stored, wanted 10: %v", len(stored), stored)
	}
	for i := range 10 {
		if ref := fmt.Sprintf("P-%02d", i); stored[ref] != 1 {
			t.Errorf("%s has %d tries, wanted 1", ref, stored[ref])
		}
	}
}

// stored counts the tries of each player.
func (s *pageServer) stored(t testing.TB) map[string]int {
	t.Helper()
	var list struct {
		Items []struct {
			Player struct{ Ref string }
			Reps   int
		}
	}
	w := s.ask(t, "read", "GET", "/v1/assessments?limit=200", "")
	if err := json.Unmarshal(w.Body.Bytes(), &list); err != nil {
		t.Fatal(err)
	}
	stored := map[string]int{}
	for _, a := range list.Items {
		stored[a.Player.Ref] += a.Reps
	}
	return stored
}

// A phone that refuses to keep anything, and one that is full: the page says so,
// pretends nothing, and what was entered arrives once there is a net.
func TestNothingKeptOnThePhone(t *testing.T) {
	t.Run("refused", func(t *testing.T) {
		s := newPageServer(t)
		p := s.signedIn(t, browsertest.Start(t), "submit", url.QueryEscape("/entry?rubric=receiving"), phone)
		p.BeforeLoad(t, refuseStorage)
		browsertest.Run(t, p.Page, chromedp.Reload())
		p.says("#notice", "lives only as long as this page is open")
		p.says("#kept", "cannot be opened without a connection")
		s.cut.Store(true)
		p.holds("P-20")
		s.cut.Store(false)
		p.sent(s, "P-20")
		p.sound("entry without storage", "ERR_", "Failed to fetch")
	})
	t.Run("full", func(t *testing.T) {
		s := newPageServer(t)
		p := s.open(t, browsertest.Start(t), "/sign-in?next="+url.QueryEscape("/entry?rubric=receiving"), phone)
		p.Quota(t, s.URL, 1)
		p.signIn(s.secrets["submit"])
		p.waitFor(`document.body.dataset.started`)
		s.cut.Store(true)
		p.holds("P-21")
		p.Quota(t, s.URL, 0) // there is room again: both are put where they are safe
		p.enter("P-22", 2)
		p.waitFor(`!document.getElementById("kept").innerText.includes("do not close this page")`)
		const count = `new Promise((done) => indexedDB.open("rootcue-entry").onsuccess = (e) => e.target.result.transaction("records").objectStore("records").count().onsuccess = (e) => done(e.target.result))`
		if n := browsertest.Eval[int](t, p.Page, count); n != 2 {
			t.Errorf("with room again %d tries are on the phone, wanted 2", n)
		}
		s.cut.Store(false)
		p.sent(s, "P-21")
	})
}

// refuseStorage is what a browser does that is told to keep nothing of a site.
const refuseStorage = `for (const [of, name] of [[window, "indexedDB"], [window, "caches"], [window, "localStorage"], [Navigator.prototype, "serviceWorker"]])
	Object.defineProperty(of, name, { configurable: true, get() { throw new DOMException("access is denied", "SecurityError"); } });`

// holds enters a try that the phone cannot keep.
func (p tab) holds(ref string) {
	p.t.Helper()
	p.fill("#rater", "E1")
	p.enter(ref, 1)
	p.says("#notice", "is held by this page only")
	p.says("#kept", "do not close this page")
}

// sent waits until all has arrived, that of a player once.
func (p tab) sent(s *pageServer, ref string) {
	p.t.Helper()
	p.click("#send")
	p.says("#count", "0 not sent")
	if n := s.stored(p.t)[ref]; n != 1 {
		p.t.Errorf("%s is stored %d times", ref, n)
	}
}
