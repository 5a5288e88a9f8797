//go:build !race

package api_test

import (
	"fmt"
	"strings"

	"github.com/chromedp/chromedp"

	"rootcue/internal/report/browsertest"
)

// harmfulActs are what is done on a page, by its name: the page's script shows
// texts that were typed, came back from the server, or came in meanwhile.
func (s *pageServer) harmfulActs(sc scene) map[string][]func(tab) {
	observation := func(throws string) string {
		return asJSON(object{"rubric": "receiving", "player": object{"ref": harm("typed-ref"), "age": 12, "throws": throws}, "on": "2026-05-09", "reps": []any{object{"rep": 1, "measures": object{"quiet_hand": 1}}}})
	}
	judge := func(throws, told string) func(tab) {
		return func(p tab) {
			p.set("#observation", observation(throws))
			p.click("#try-form button")
			p.waitFor(`document.getElementById("answer-body").textContent.includes("` + told + `")`)
		}
	}
	const noisyHand = `input[data-fault="noisy-hand"][data-band="11-12"]`
	return map[string][]func(tab){
		"front": {judge("left", "typed-ref"), judge(harm("typed-throws"), "typed-throws")},
		"docs": {func(p tab) {
			browsertest.Eval[bool](p.t, p.Page, `(() => {
				const form = document.querySelector('form.try[data-path="/v1/assess"]');
				form.querySelector('[data-in="body"]').value = `+quoted(observation("left"))+`;
				form.closest("details")?.setAttribute("open", "");
				form.requestSubmit();
				return true })()`)
			p.waitFor(`document.querySelector("form.try output pre")?.textContent.includes("typed-ref")`)
		}},
		"entry": {
			func(p tab) { // kept as a draft, and back after the page is loaded anew
				for _, id := range []string{"session", "rater", "ref"} {
					p.set("#"+id, harm("typed-"+id))
				}
				browsertest.Eval[bool](p.t, p.Page, draftKept)
				browsertest.Run(p.t, p.Page, chromedp.Reload())
				p.waitFor(`document.body.dataset.started && document.getElementById("ref").value`)
			},
			func(p tab) { // saved without a net, listed, and taken back
				s.cut.Store(true)
				p.set("#age", "12")
				p.clickLabel(`input[name="set_on_time"][value="yes"]`)
				p.click("#save")
				p.waitFor(`document.getElementById("notice").textContent.includes("typed-ref")`)
				browsertest.Run(p.t, p.Page, chromedp.Reload())
				p.waitFor(`document.querySelector("#outbox-list li")`)
			},
			func(p tab) {
				p.click("#outbox summary")
				p.click("#outbox-list button")
				p.waitFor(`!document.querySelector("#outbox-list li")`)
				s.cut.Store(false)
			},
		},
		"review": {func(p tab) {
			p.click("[data-link]")
			p.waitFor(`document.querySelector("[data-answer] a")`)
			p.set("[data-note]", harm("note"))
			p.click(`[data-release=""]`)
			p.waitFor(`document.querySelector("[data-answer]").textContent.includes("draft")`)
			browsertest.Run(p.t, p.Page, chromedp.Reload())
		}},
		"limits": {
			func(p tab) { // what the change would do, and the examples that it breaks
				p.fill(noisyHand, "1.5")
				p.waitFor(`document.querySelector("#impact a") && document.getElementById("impact").textContent.includes("example-name")`)
			},
			func(p tab) { // beside what another editor published
				p.fill(noisyHand, "3.4")
				s.must(p.t, "admin", "PATCH", "/v1/rubrics/receiving/limits", asJSON(object{"limits": []any{object{"fault": "noisy-hand", "band": "11-12", "at_least": 3.3}}, "reason": harm("reason")}), "If-Match", "*")
				p.set("#reason", harm("reason"))
				p.click("#publish")
				p.click("#on-top")
				p.waitFor(`document.body.dataset.started && document.querySelector("[data-compare='3']")`)
			},
		},
		"limits-file": {func(p tab) { // what was found is told cut short
			text := browsertest.Eval[string](p.t, p.Page, `document.getElementById("source").value`)
			p.set("#source", strings.Replace(text, "background: 0.10", "background: '"+strings.ReplaceAll(harm("typed-background"), "'", "''")+"'", 1))
			p.waitFor(`document.getElementById("problems").textContent.includes("typed-background")`)
		}},
		"new-tryout": {func(p tab) { // what was found wrong is told with what was typed
			p.set("#name", short("typed-name"))
			p.set("#panel", harm("typed-evaluator"))
			p.set("#title-1", short("typed-item"))
			p.click("#new > button")
			p.waitFor(`document.querySelector("#new .slip")`)
		}},
		"tryout-board": {func(p tab) { // a decision that comes in while the board is open
			s.must(p.t, "edit", "POST", "/v1/tryouts/"+sc.tryout+"/decisions", asJSON(object{"bib": "8", "kind": "decision", "chosen": true, "group": short("late-team"), "why": harm("late-why")}))
			p.click("#follow")
			p.click("#follow") // looks at once
			p.waitFor(fmt.Sprintf(`document.getElementById("live").textContent.includes(%s)`, quoted(short("late-team"))))
		}},
		"tryout-bib": {func(p tab) {
			p.set("#group", short("typed-team"))
			p.set("#feedback", harm("typed-feedback"))
			p.set("#why", harm("typed-why"))
			p.click("#decide button")
			p.waitFor(`document.querySelector("section[aria-labelledby=decisions] ul").textContent.includes("typed-why")`)
		}},
	}
}

// draftKept waits until the evaluator's draft is on the phone.
const draftKept = `(async () => {
	const base = await new Promise((done) => { indexedDB.open("rootcue-entry").onsuccess = (e) => done(e.target.result) });
	for (;;) {
		const where = await new Promise((done) => { base.transaction("notes").objectStore("notes").get("where").onsuccess = (e) => done(e.target.result) });
		if (where?.value.rater) return true;
		await new Promise((done) => setTimeout(done, 20));
	}
})()`

// textsOn are the fields whose texts stand on a page, by its name.
var textsOn = map[string]string{
	"front":          "typed-ref typed-throws",
	"docs":           "typed-ref",
	"link":           onReport + " policy policy-by edition",
	"trouble":        "club",
	"entry-choose":   "club rubric-title tryout",
	"entry":          "club rubric-title tryout measure-title ref typed-ref typed-session typed-rater",
	"entry-tryout":   "club tryout item bib evaluator",
	"review":         "club ref rubric-title measure-title drill-title fault-title fault-cue fault-praise own-cue dropped note policy edition",
	"review-none":    "club",
	"reports":        onReport + " policy policy-by edition",
	"rubrics":        "club rubric-title",
	"limits":         onLimits + " ref",
	"limits-throw":   "club",
	"limits-history": onLimits,
	"limits-file":    onLimits,
	"tryouts":        "club tryout",
	"new-tryout":     "club rubric-title typed-name typed-evaluator typed-item",
	"tryout-board":   "club tryout bib evaluator item team why late-team late-why",
	"tryout-bib":     "club tryout bib evaluator item team why feedback typed-team typed-why typed-feedback",
	"groups":         "club",
	"group-asked":    "club drill-title",
	"group-plan":     "club drill-title rubric-title ref policy edition",
	"report":         onReport,
	// What is asked for in an address.
	"to-go-to": "club to-go-to",
	"day":      "club day",
	"start":    "club drill-title start",
	"asked":    "club",
	"absent":   "club absent",
}

const (
	onReport = "club ref rubric-title measure-title fault-title fault-cue fault-praise fault-source outcome-title outcome-source drill-title drill-how drill-dose own-cue dropped note"
	onLimits = "club reason rubric-title rubric-skill measure-title fault-title fault-cue fault-praise fault-because fault-source outcome-title outcome-source drill-title drill-how drill-dose drill-kit drill-source example-name"
)
