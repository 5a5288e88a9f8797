//go:build !race

package api_test

import (
	"encoding/json"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"rootcue/internal/report/browsertest"
)

// shot keeps a picture of a page where PAGE_SHOTS says, to be looked at.
func (p tab) shot(name string) {
	if dir := os.Getenv("PAGE_SHOTS"); dir != "" {
		p.Screenshot(p.t, filepath.Join(dir, name+".png"))
	}
}

// The meeting: the board follows the grades as they come in, says so when the
// net is gone, and is closed and opened again by clicks.
func TestBoardFollowsTheGrades(t *testing.T) {
	t.Parallel() // it waits most of the time
	s := newPageServer(t)
	id := s.springTryout(t, `Spring "><script>alert(1)</script>`)
	p := s.signedIn(t, browsertest.Start(t), "edit", "/tryouts", browsertest.View{})
	p.sound("tryouts")
	p.click(`main a[href="/tryouts/` + id + `"]`)
	p.waitFor(`document.querySelector("#live") && !document.querySelector(".scripted[hidden]")`)
	p.says("#live", "108 grades")
	p.sound("board")
	p.shot("live-board")
	browsertest.Eval[bool](t, p.Page, `(() => { window.same = true; document.querySelector('#live a[href$="/bibs/25"]').focus(); document.querySelector("#live details").open = true; return true })()`)
	s.must(t, "submit", "POST", "/v1/tryouts/"+id+"/grades", `{"grades": [{"bib": "3", "evaluator": "E3", "item": "receiving", "grade": 4}]}`)
	p.says("#live", "109 grades")
	p.says("#notice", "Something new came in")
	if !browsertest.Eval[bool](t, p.Page, `window.same && document.activeElement.matches('#live a[href$="/bibs/25"]') && document.querySelector("#live details").open`) {
		t.Error("the page was loaded anew, or lost what was in focus or open")
	}
	p.says("#checked", "Looked for news at")
	s.cut.Store(true)
	p.says("#notice", "No connection")
	s.cut.Store(false)
	p.waitFor(`document.getElementById("notice").textContent === ""`)

	p.click("#state button")
	p.says("#live .tag", "closed")
	p.waitFor(`document.getElementById("reason")?.offsetHeight && !document.getElementById("enrol").offsetHeight`)
	p.fill("#reason", "one sheet came late")
	p.click("#state button")
	p.says("#live .tag", "open")

	s.must(t, "admin", "POST", "/v1/tryouts/"+id+"/close", "") // by another instructor
	p.click("#follow")
	p.click("#follow") // looks at once
	p.says("#notice", "The tryout is closed now")
	p.says("#state", "Open it again")
	p.fill("#reason", "it was closed too early")
	p.sound("board, closed meanwhile", "ERR_", "Failed to fetch")
	p.click("#state button")
	p.says("#live .tag", "open")
	p.says("#state", "Close the tryout")
	p.click("#follow") // not kept up to date
	s.must(t, "admin", "POST", "/v1/tryouts/"+id+"/close", "")
	p.click("#state button")
	p.says("#notice", "The tryout is closed now")
	p.says("#state", "Open it again")
	if w := s.ask(t, "admin", "GET", "/v1/changes?limit=6", ""); !json.Valid(w.Body.Bytes()) || !strings.Contains(w.Body.String(), "one sheet came late") {
		t.Errorf("the log lacks the reason: %s", w.Body)
	}
	p.sound("board, closed again", "ERR_", "Failed to fetch", "409")
}

// A decision and an appeal are recorded by the keyboard alone, what is wrong is
// told beside the form, and the board shows the decision.
func TestDecisionByKeyboard(t *testing.T) {
	s := newPageServer(t)
	id := s.springTryout(t, "Spring")
	p := s.signedIn(t, browsertest.Start(t), "edit", url.QueryEscape("/tryouts/"+id), phone)
	p.tabTo(`#live th a[href$="/bibs/25"]`)
	p.press(kb.Enter)
	p.waitFor(`document.querySelector("#decide") && !document.querySelector(".scripted[hidden]")`)
	p.sound("bib")
	p.shot("live-bib")
	p.tabTo("#group")
	p.press(`14-A <i>"x"</i>`)
	p.tabTo("#feedback")
	p.press("A quiet hand.")
	p.tabTo("#decide button")
	p.press(kb.Enter)
	p.says("section[aria-labelledby=decisions] ul", `a place: 14-A <i>"x"</i>`)
	p.says("section[aria-labelledby=decisions] ul", "The player is told: A quiet hand.")
	p.waitFor(`!document.querySelector(".scripted[hidden]")`)
	p.tabTo("#appeal-why")
	p.press("A second look is asked for")
	p.tabTo("#appeal button")
	p.press(kb.Enter)
	p.says("section[aria-labelledby=decisions] ul", "appeal, open. A second look is asked for")
	p.tabTo(`main p a[href="/tryouts/` + id + `"]`)
	p.press(kb.Enter)
	p.says(`#live th:has(a[href$="/bibs/25"])`, "a place")
	p.says("#live", "Nothing is decided on bibs 3, 7, 11")
}

// The practice by the keyboard alone, from the list of groups to the plan on
// paper.
func TestGroupPlanByKeyboard(t *testing.T) {
	s := newPageServer(t)
	s.practised(t)
	p := s.signedIn(t, browsertest.Start(t), "edit", "/groups", phone)
	p.sound("groups")
	p.tabTo(`main a[href="/groups/catchers/plan"]`)
	p.press(kb.Enter)
	p.waitFor(`document.querySelector("#minutes")`)
	p.sound("group, asked")
	p.set("#on", "2026-05-10")
	p.set("#start", "17:30")
	p.fill("#minutes", "45")
	p.fill("#turn", "15")
	p.tabTo("main form button")
	p.press(kb.Enter)
	p.says("main", "17:30 to 18:15, 2026-05-10. 6 players, 1 helpers.")
	p.says("main", "18:00–18:15")
	p.waitFor(`!document.querySelector(".scripted[hidden]")`)
	p.sound("group, planned")
	p.shot("live-group")
	if n := browsertest.Sheets(p.PDF(t, browsertest.A4)); n > 3 {
		t.Errorf("the plan takes %d sheets", n)
	}
	browsertest.Run(t, p.Page, chromedp.EmulateViewport(int64(browsertest.Narrow.Width), int64(browsertest.Narrow.Height)))
	p.sound("group at 320 px")
}
