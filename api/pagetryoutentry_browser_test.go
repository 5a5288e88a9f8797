//go:build !race

package api_test

import (
	"fmt"
	"net/url"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/google/go-cmp/cmp"

	"rootcue/internal/report/browsertest"
)

// grade grades one player by thumb and saves it.
func (p tab) grade(bib string, hand, arm, unsent int) {
	p.t.Helper()
	p.graded(bib, hand, arm)
	p.click("#save")
	p.waitFor(fmt.Sprintf(`document.getElementById("notice").textContent.includes(%q)`, bib))
	p.says("#count", fmt.Sprintf("%d not sent", unsent))
}

func (p tab) graded(bib string, hand, arm int) {
	p.t.Helper()
	p.clickLabel(fmt.Sprintf(`input[name="bib"][value=%q]`, bib))
	p.click(fmt.Sprintf(`[data-measure="quiet_hand"] label:nth-of-type(%d)`, hand))
	p.click(fmt.Sprintf(`[data-measure="arm"] label:nth-of-type(%d)`, arm))
}

// hangAndTapTwice saves twice at once on a net that takes requests and answers
// none; it tells whether the page takes nothing until that is given up.
const hangAndTapTwice = `(() => {
	window.fetch = (at, how) => new Promise((_, no) => how?.signal?.addEventListener("abort", () => no(how.signal.reason)));
	const form = document.getElementById("entry");
	form.requestSubmit();
	form.requestSubmit();
	return document.querySelector("main").inert;
})()`

// twoConflicts answers the next two requests to keep something with the two
// kinds of conflict.
const twoConflicts = `(() => {
	const real = window.fetch;
	window.conflicts = ["in-flight", "conflict"];
	window.fetch = (at, how) => how?.method !== "POST" || !conflicts.length ? real(at, how) : Promise.resolve(new Response(
		JSON.stringify({ type: "/problems/" + conflicts.shift(), title: "It changed meanwhile", status: 409, detail: "It changed meanwhile", errors: [] }),
		{ status: 409, headers: { "Content-Type": "application/problem+json" } }));
	return true;
})()`

// clickLabel clicks the label around an input, as a thumb does.
func (p tab) clickLabel(input string) {
	p.t.Helper()
	browsertest.Eval[bool](p.t, p.Page, `(() => { document.querySelector(`+quoted(input)+`).closest("label").click(); return true })()`)
}

// Grading at a tryout in a dead zone: what was entered while the net hung, and
// with it gone and the page loaded anew, arrives later, once, look by look. A player withdrawn
// meanwhile is refused on the page, stays on the phone, and arrives when the
// player is back. One that is still being answered waits; any other conflict is told,
// and does not hold up what waits behind it.
func TestGradesFromADeadZone(t *testing.T) {
	s := newPageServer(t)
	id := newTryout(t, s.clubServer, `{"name": "Spring tryout", "on": "2026-05-10", "rubrics": ["receiving"], "panel": ["E1", "E2"],
		"own_items": [{"item": "arm", "title": "Arm on throws to second", "kind": "grade"}], "stations": [{"name": "Plate", "items": ["quiet_hand", "arm"]}]}`)
	b := browsertest.StartIn(t, t.TempDir())
	p := s.signedIn(t, b, "submit", url.QueryEscape("/entry?tryout="+id), phone)
	p.waitFor(`document.body.dataset.ready`)
	if n := browsertest.Eval[int](t, p.Page, `document.querySelectorAll("[data-measure]").length`); n != 2 {
		t.Errorf("%d items are shown, wanted the tryout's 2", n)
	}
	browsertest.Run(t, p.Page, chromedp.SetValue("#rater", "E1"))
	p.grade("7", 4, 5, 0)

	p.graded("12", 2, 3)
	if !browsertest.Eval[bool](t, p.Page, hangAndTapTwice) {
		t.Error("while the net hangs, the page takes what belongs to the next try")
	}
	p.says("#notice", "12")
	p.says("#count", "1 not sent")
	s.cut.Store(true)
	p.grade("14", 3, 3, 2)
	browsertest.Run(t, p.Page, chromedp.Reload())
	p.waitFor(`document.body.dataset.started`)
	p.says("#count", "2 not sent")
	p.waitFor(`document.getElementById("rater").value === "E1"`)
	p.grade("12", 5, 3, 3) // a second look
	withdrawn := s.ask(t, "edit", "PUT", "/v1/tryouts/"+id+"/roster/14", `{"withdrawn": true}`, "Content-Type", "application/json")
	if withdrawn.Code != 200 {
		t.Fatal(withdrawn.Body)
	}

	s.cut.Store(false)
	p.click("#send")
	p.says("#count", "0 not sent")
	p.says("#outbox-list", "bib 14, withdrawn on 2026-05-10")
	want := []string{"12 E1 arm 1: 3", "12 E1 arm 2: 3", "12 E1 quiet_hand 1: 2", "12 E1 quiet_hand 2: 5", "7 E1 arm 1: 5", "7 E1 quiet_hand 1: 4"}
	if diff := cmp.Diff(want, arrived(t, s.clubServer, id)); diff != "" {
		t.Errorf("arrived (+), wanted (-):\n%s", diff)
	}

	s.ask(t, "edit", "PUT", "/v1/tryouts/"+id+"/roster/14", `{"withdrawn": false}`, "Content-Type", "application/json")
	p.click("#send")
	p.waitFor(`!document.getElementById("count").textContent.includes("need a look")`)
	if got := arrived(t, s.clubServer, id); len(got) != 8 {
		t.Errorf("with the player back %d grades are there, wanted 8: %v", len(got), got)
	}

	s.cut.Store(true)
	p.grade("7", 1, 1, 1)
	p.grade("12", 1, 1, 2)
	s.cut.Store(false)
	browsertest.Eval[bool](t, p.Page, twoConflicts)
	p.click("#send")
	p.waitFor(`conflicts.length === 1`)
	p.says("#count", "2 not sent")
	p.click("#send")
	p.says("#count", "0 not sent")
	p.says("#outbox-list", "It changed meanwhile")
	if got := arrived(t, s.clubServer, id); len(got) != 10 {
		t.Errorf("behind one in conflict %d grades are there, wanted 10: %v", len(got), got)
	}
	p.click("#send")
	p.waitFor(`!document.getElementById("count").textContent.includes("need a look")`)
	if got := arrived(t, s.clubServer, id); len(got) != 12 {
		t.Errorf("sent again, %d grades are there, wanted 12: %v", len(got), got)
	}
}

func arrived(t testing.TB, s *clubServer, id string) (all []string) {
	t.Helper()
	for _, g := range gradesOf(t, s, id) {
		all = append(all, fmt.Sprintf("%s %s %s %d: %s", g.Bib, g.Evaluator, g.Item, g.Look, g.Grade))
	}
	return all
}
