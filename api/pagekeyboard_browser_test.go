//go:build !race

package api_test

import (
	"encoding/json"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"rootcue/internal/club"
	"rootcue/internal/report/browsertest"
)

// choose goes through a list of choices by the arrow keys until one is taken.
func (p tab) choose(value string) {
	p.t.Helper()
	p.press(kb.Home)
	for range 60 {
		if browsertest.Eval[string](p.t, p.Page, `document.activeElement.value`) == value {
			return
		}
		p.press(kb.ArrowDown)
	}
	p.t.Fatalf("the arrow keys never come to %q", value)
}

// pick goes through a group of round buttons by the arrow keys until one is on.
func (p tab) pick(name, value string) {
	p.t.Helper()
	p.tabTo(`input[name="` + name + `"]`)
	p.press(" ")
	for range 60 {
		if browsertest.Eval[bool](p.t, p.Page, `document.activeElement.checked && document.activeElement.value === `+quoted(value)) {
			return
		}
		p.press(kb.ArrowRight)
	}
	p.t.Fatalf("the arrow keys never come to %s of %s", value, name)
}

// at fails unless a thing has the focus.
func (p tab) at(selector string) {
	p.t.Helper()
	p.waitFor(`document.activeElement?.matches(` + quoted(selector) + `)`)
}

// Signing in by the keyboard alone: who comes without a session gets to the
// form, and from there to where he wanted to go; a bad key is told.
func TestSignInByKeyboard(t *testing.T) {
	s := newPageServer(t)
	p := s.open(t, browsertest.Start(t), "/rubrics", browsertest.View{})
	p.tabTo("#key")
	p.press("rc_wrong")
	p.press(kb.Enter)
	p.says("#refused", "This key opens nothing")
	p.tabTo("#key")
	p.press(s.secrets["edit"])
	p.press(kb.Enter)
	p.waitFor(`location.pathname === "/rubrics" && document.readyState === "complete"`)
	p.press(kb.Tab)
	p.at(".skip")
	p.press(kb.Enter)
	p.press(kb.Tab)
	p.at(`main a`) // past the bar at once
	p.tabTo(`.who button`)
	p.press(kb.Enter)
	p.waitFor(`location.pathname === "/" && document.querySelector('.who a[href="/sign-in"]')`)
}

// The form of the front page by the keyboard alone: a slip is told and lost
// nothing, and what comes out has the focus.
func TestTrialByKeyboard(t *testing.T) {
	s := newPageServer(t)
	p := s.open(t, browsertest.Start(t), "/", browsertest.View{})
	p.tabTo("#observation")
	p.press("x")
	p.tabTo("#try-form button")
	p.press(kb.Enter)
	p.at("#answer-title")
	p.says("#answer-body", "found")
	p.backTo("#observation")
	p.waitFor(`document.activeElement.value.length > 100`)
	p.press(kb.Backspace)
	p.tabTo("#try-form button")
	p.press(" ")
	p.says("#answer-body", "Work on")
	p.at("#answer-title")
	p.tabTo("#answer-body summary")
	p.press(kb.Enter)
	p.waitFor(`document.querySelector("#answer-body details").open`)
	p.tabTo("#answer-body pre") // it scrolls
}

// backTo presses Tab backwards until a thing has the focus.
func (p tab) backTo(selector string) {
	p.t.Helper()
	for range 400 {
		browsertest.Run(p.t, p.Page, chromedp.KeyEvent(kb.Tab, chromedp.KeyModifiers(kb.ModifierShift)))
		if browsertest.Eval[bool](p.t, p.Page, `document.activeElement?.matches(`+quoted(selector)+`) ?? false`) {
			return
		}
	}
	p.t.Fatalf("Tab backwards never comes to %s", selector)
}

// The instructor's word by the keyboard alone: one finding set aside with a
// reason, another's cue and drill swapped, a note, released.
func TestReviewByKeyboard(t *testing.T) {
	s := newPageServer(t)
	s.demoStored(t)
	p := s.signedIn(t, browsertest.Start(t), "edit", url.QueryEscape("/review?on=2026-05-03"), browsertest.View{})
	id := browsertest.Eval[string](t, p.Page, `[...document.querySelectorAll("article:has(summary)")].find((a) => a.querySelectorAll("[data-work]").length > 1).id.slice(2)`)
	card := "#a-" + id + " "
	p.tabTo(card + "[data-work]:nth-of-type(1) [data-do]")
	p.choose("aside")
	p.tabTo(card + "[data-release=yes]")
	p.press(kb.Enter)
	p.at(card + "[data-work]:nth-of-type(1) [data-reason][aria-invalid]") // a reason is wanted, and the cursor is there
	p.says(card+"[data-answer]", "reason")
	p.press("It was the wet grass")
	p.tabTo(card + "[data-work]:nth-of-type(2) [data-own]")
	p.press("Step to the bag")
	p.tabTo(card + "[data-work]:nth-of-type(2) [data-drill]")
	drill := browsertest.Eval[string](t, p.Page, `document.activeElement.options[document.activeElement.options.length - 1].value`)
	p.choose(drill)
	p.tabTo(card + "summary")
	p.press(" ")
	p.tabTo(card + "[data-finding] [data-do]")
	p.tabTo(card + "[data-note]")
	p.press("A good day.")
	p.tabTo(card + "[data-release=yes]")
	p.press(kb.Enter)
	p.says(card+"[data-answer]", "Released")
	p.says(card+"[data-state]", "released")
	p.at(card + "[data-release=yes]") // nothing took the focus away

	var answer struct {
		Released bool
		Review   club.Review
	}
	if err := json.Unmarshal(s.must(t, "edit", "GET", "/v1/assessments/"+id+"/review", ""), &answer); err != nil {
		t.Fatal(err)
	}
	kept := answer.Review
	if !answer.Released || len(kept.SetAside) != 1 || kept.SetAside[0].Reason != "It was the wet grass" || kept.Note != "A good day." ||
		len(kept.Cues) != 1 || kept.Cues[0].Cue != "Step to the bag" || strings.Join(kept.Cues[0].Drills, " ") != drill {
		t.Errorf("kept is %+v, wanted the drill %s", answer, drill)
	}
	p.tabTo(card + "[data-link]")
	p.press(kb.Enter)
	p.says(card+"[data-answer]", "/v1/links/")
	p.tabTo(card + "[data-answer] a")
}

// The evaluator's page by the keyboard alone: the tryout is chosen, a bib, the
// grades; one look is taken back and given anew, and arrives once.
func TestEntryByKeyboard(t *testing.T) {
	s := newPageServer(t)
	id := newTryout(t, s.clubServer, `{"name": "Spring tryout", "on": "2026-05-10", "rubrics": ["receiving"], "panel": ["E1", "E2"],
		"own_items": [{"item": "arm", "title": "Arm on throws to second", "kind": "grade"}], "stations": [{"name": "Plate", "items": ["quiet_hand", "arm"]}]}`)
	p := s.signedIn(t, browsertest.Start(t), "submit", "/entry", phone)
	p.tabTo("#tryout")
	p.choose(id)
	p.tabTo("form.row button")
	p.press(kb.Enter)
	p.waitFor(`document.body.dataset.started`)
	p.tabTo("#rater")
	p.choose("E1")
	p.pick("bib", "12")
	p.pick("arm", "4")
	p.tabTo("#save")
	p.press(kb.Enter)
	p.says("#notice", "12")
	p.says("#count", "0 not sent")
	p.at("#save")
	p.tabTo("#undo")
	p.press(" ")
	p.at("#save")
	p.waitFor(`document.querySelector('[name="arm"]:checked').value === "4" && document.querySelector('[name="bib"]:checked').value === "12"`)
	p.tabTo("#outbox summary")
	p.press(kb.Enter)
	p.pick("arm", "5")
	p.pick("quiet_hand", "3")
	p.press(kb.Enter) // from any field
	p.waitFor(`document.querySelectorAll("#outbox-list button").length === 1`)
	p.says("#outbox-list", "the server has it")
	if got := strings.Join(arrived(t, s.clubServer, id), "; "); got != "12 E1 arm 1: 5; 12 E1 quiet_hand 1: 3" {
		t.Errorf("arrived: %s", got)
	}
	p.tabTo("#outbox-list button")
	// The page sends again when it comes to the front, and writes its list anew.
	browsertest.Eval[bool](t, p.Page, `(() => { document.activeElement.old = true; document.dispatchEvent(new Event("visibilitychange")); return true })()`)
	p.waitFor(`!document.querySelector("#outbox-list button").old`)
	p.at("#outbox-list button")
	p.press(kb.Enter)
	p.at("#save")
}

// A session without a tryout, the stop-watch too, by the keyboard alone.
func TestSessionByKeyboard(t *testing.T) {
	s := newPageServer(t)
	p := s.signedIn(t, browsertest.Start(t), "submit", "/entry", phone)
	p.tabTo("#rubric")
	p.choose("throw-to-second")
	p.tabTo("form.row button")
	p.press(kb.Enter)
	p.waitFor(`document.body.dataset.started`)
	p.tabTo("#rater")
	p.press("E1")
	p.tabTo("#ref")
	p.press("P-30")
	p.tabTo("#age")
	p.press("12")
	p.tabTo("#throws")
	p.choose("right")
	p.tabTo(`[data-moment="catch"]`)
	p.press(" ")
	p.tabTo(`[data-moment="release"]`)
	p.press(" ")
	p.at(`[data-moment="release"]`)
	p.waitFor(`/^\d/.test(document.getElementById("m-exchange_time").value)`)
	p.tabTo("#m-change_time")
	p.press("0,4")
	p.tabTo("#m-exchange_time")
	p.press("1.02") // in place of what was tapped: Tab selects it
	p.press(kb.Enter)
	p.says("#notice", "P-30")
	p.says("#count", "0 not sent")
	if n := s.stored(t)["P-30"]; n != 1 {
		t.Errorf("P-30 is stored %d times; the page says %s", n, p.text("#outbox-list"))
	}
}

// A tryout is closed and opened again by the keyboard alone. The focus
// stays at the form; while grades come in, what is in focus stays so.
func TestTryoutIsClosedByKeyboard(t *testing.T) {
	t.Parallel() // it waits for the board to look again
	s := newPageServer(t)
	id := s.springTryout(t, "Spring")
	p := s.signedIn(t, browsertest.Start(t), "edit", url.QueryEscape("/tryouts/"+id), browsertest.View{})
	p.waitFor(`!document.querySelector(".scripted[hidden]")`)
	p.tabTo("#live summary")
	p.press(kb.Enter)
	s.must(t, "submit", "POST", "/v1/tryouts/"+id+"/grades", `{"grades": [{"bib": "3", "evaluator": "E3", "item": "receiving", "grade": 4}]}`)
	p.says("#live", "109 grades")
	p.at("#live summary")
	p.waitFor(`document.activeElement.parentElement.open`)
	p.tabTo("#state button")
	p.press(kb.Enter)
	p.says("#notice", "The tryout is closed now")
	p.at("#state button")
	p.backTo("#reason")
	p.press("one sheet came late")
	p.press(kb.Enter)
	p.says("#notice", "The tryout is open now")
	p.at("#state button")
	p.says("#live .tag", "open")
}

// stops tells, where Tab has brought the focus, what is wrong with what is seen
// of it: no mark (WCAG 2.2, 2.4.7), or hidden under what stays in sight (2.4.11).
const stops = `window.stop = () => {
	const e = document.activeElement;
	if (!e || e === document.body) return null;
	const seen = e.matches(".choice input") ? e.nextElementSibling : e, style = getComputedStyle(seen), out = [];
	for (const bar of document.querySelectorAll(".state")) if (bar.getBoundingClientRect().bottom > innerHeight + 1) out.push("cuts off the bar that stays in sight");
	if (style.outlineStyle === "none" || parseFloat(style.outlineWidth) < 2) out.push("has no outline");
	const lines = [...seen.getClientRects()], points = lines.flatMap((r) => [.05, .5, .95].flatMap((x) => [.15, .5, .85].map((y) => [r.x + x * r.width, r.y + y * r.height])));
	const hit = points.filter(([x, y]) => { const at = document.elementFromPoint(x, y); return at && (seen.contains(at) || at.contains(seen) || at.closest("label")?.contains(seen)); });
	if (hit.length < (seen.offsetHeight > innerHeight / 2 ? 1 : points.length)) out.push("shows " + hit.length + " of " + points.length + " points");
	const known = e.walked === true || e.type === "radio" && e.name && [...document.getElementsByName(e.name)].some((o) => o.walked);
	const again = known && e.type !== "date" && e.type !== "time";
	e.walked = true;
	return { again, name: e.outerHTML.slice(0, 120), wrong: out };
}`

// missed are the things that could have the focus and never had it.
const missed = `[...document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex='0']")].filter((e) => e.checkVisibility() && !e.disabled && e.type !== "hidden" &&
	!(e.walked || e.type === "radio" && [...document.getElementsByName(e.name)].some((o) => o.walked))).map((e) => e.outerHTML.slice(0, 120))`

// walked goes through a page by Tab: all that can be used is reached, nothing
// keeps the focus, and where it is is seen at every stop.
func (p tab) walked(name string) {
	p.t.Helper()
	browsertest.Eval[bool](p.t, p.Page, `(() => { `+stops+`; document.activeElement.blur(); scrollTo(0, 0); return true })()`)
	for outside := 0; outside < 3; {
		p.press(kb.Tab)
		at := browsertest.Eval[*struct {
			Again bool
			Name  string
			Wrong []string
		}](p.t, p.Page, `stop()`)
		if at == nil { // past the end: the next Tab begins again
			outside++
			continue
		}
		if at.Again {
			break
		}
		for _, wrong := range at.Wrong {
			p.t.Errorf("%s: with the focus %s %s", name, at.Name, wrong)
		}
	}
	for _, e := range browsertest.Eval[[]string](p.t, p.Page, missed) {
		p.t.Errorf("%s: Tab never comes to %s", name, e)
	}
}
