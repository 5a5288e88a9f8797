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
