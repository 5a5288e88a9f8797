//go:build !race

package api_test

import (
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"rootcue/internal/report/browsertest"
)

// An evaluator is recused and a player withdrawn by the keyboard alone, and both
// taken back; what is wrong is told at its field, and what is typed in other
// forms of the page stays.
func TestRecusalAndWithdrawalByKeyboard(t *testing.T) {
	t.Parallel() // it waits for the browser most of the time
	s := newPageServer(t)
	id := s.springTryout(t, "Spring")
	p := s.signedIn(t, browsertest.Start(t), "edit", url.QueryEscape("/tryouts/"+id+"/bibs/25"), phone)
	p.waitFor(`document.querySelector("#recuse") && !document.querySelector(".scripted[hidden]")`)
	p.tabTo("#feedback")
	p.press("A quiet hand.")

	p.tabTo("#recuse button")
	p.press(kb.Enter)
	p.says("#recuse", "found nobody, wanted an evaluator of the panel")
	p.waitFor(`document.activeElement.id === "evaluator" && document.activeElement.getAttribute("aria-invalid") === "true"`)
	p.press("E1")
	p.tabTo("#recuse button")
	p.press(kb.Enter)
	p.waitFor(`document.activeElement.id === "recusal-why"`) // the server's word on what is missing
	p.says("#recuse", `found the text "", wanted a text of 1 or more characters`)
	if got := p.text("#recuse"); strings.Contains(got, "an evaluator of the panel") {
		t.Errorf("what was right is still told as wrong: %s", got)
	}
	p.sound("bib, recusal refused", "422")
	p.shot("recusal-refused")
	p.press("family")
	p.tabTo("#recuse button")
	p.press(kb.Enter)
	p.says("#notice", "The recusal is recorded.")
	p.says("#live", "Recused: E1.")
	if browsertest.Eval[string](t, p.Page, `document.querySelector("#recusal-why").value`) != "" {
		t.Error("the reason is still there after it was recorded")
	}

	p.tabTo("#withdraw button")
	p.press(kb.Enter)
	p.says("#notice", "The player is withdrawn.")
	p.says("#live .tag.on", "withdrawn")
	p.waitFor(`document.activeElement.matches("#withdraw button")`)
	p.sound("bib, withdrawn", "422")
	p.shot("withdrawn")
	if got := s.stateOf(t, id); got != "withdrawn 25; E1 not 25 (family)" {
		t.Errorf("kept is %q", got)
	}

	p.tabTo(`#live a[href="/tryouts/` + id + `"]`)
	p.press(kb.Enter)
	p.waitFor(`document.querySelector("#roster")`)
	p.says("#live", "11 players")
	p.says("#live", "E1 does not look at bib 25.")
	p.tabTo("#roster summary")
	p.press(kb.Enter)
	p.says("#roster", "Bib 25 withdrawn")
	p.tabTo(`#roster a[href$="/bibs/25"]`)
	p.press(kb.Enter)

	p.waitFor(`document.querySelector("#withdraw") && !document.querySelector(".scripted[hidden]")`)
	p.fill("#feedback", "A quiet hand.")
	p.tabTo("#withdraw button")
	p.press(kb.Enter)
	p.says("#notice", "The player takes part again.")
	p.tabTo(`#recused button[data-evaluator="E1"]`)
	p.press(kb.Enter)
	p.says("#notice", "The recusal is taken back")
	p.waitFor(`!document.getElementById("live").textContent.includes("Recused") && document.activeElement.id === "recused"`)
	if got := s.stateOf(t, id); got != "" {
		t.Errorf("kept is %q", got)
	}
	if got := browsertest.Eval[string](t, p.Page, `document.querySelector("#feedback").value`); got != "A quiet hand." {
		t.Errorf("what was typed in another form is %q", got)
	}

	s.must(t, "admin", "POST", "/v1/tryouts/"+id+"/close", "") // by another instructor meanwhile
	p.click("#withdraw button")
	p.says("#withdraw", "the tryout was closed")
	browsertest.Run(t, p.Page, chromedp.Reload())
	p.waitFor(`document.querySelector("#decide") && !document.querySelector("#withdraw, #recuse")`)
}

// stateOf is who is withdrawn and who is recused from whom.
func (s *pageServer) stateOf(t testing.TB, tryout string) string {
	t.Helper()
	var kept []string
	for _, e := range read[struct {
		Bib         string
		WithdrawnAt *string `json:"withdrawn_at"`
	}](t, s, "/v1/tryouts/"+tryout+"/roster") {
		if e.WithdrawnAt != nil {
			kept = append(kept, "withdrawn "+e.Bib)
		}
	}
	for _, r := range read[struct{ Evaluator, Bib, Why string }](t, s, "/v1/tryouts/"+tryout+"/recusals") {
		kept = append(kept, r.Evaluator+" not "+r.Bib+" ("+r.Why+")")
	}
	return strings.Join(kept, "; ")
}

// A tryout is made and its roster filled by the keyboard alone. What is wrong is
// told at its field and below its form, and nothing that was typed is lost.
func TestTryoutMadeByKeyboard(t *testing.T) {
	t.Parallel() // it waits for the browser most of the time
	s := newPageServer(t)
	p := s.signedIn(t, browsertest.Start(t), "edit", "/tryouts", phone)
	p.tabTo(`main a[href="/tryouts/new"]`)
	p.press(kb.Enter)
	p.waitFor(`document.querySelector("#new") && !document.querySelector(".scripted[hidden]")`)
	p.tabTo("#panel")
	p.press("E1\nE2\nE2")
	p.tabTo("#looks")
	p.press("1")
	p.tabTo("#add")
	p.press(kb.Enter)
	p.waitFor(`document.activeElement.id === "title-2"`)
	p.press("Brazo a segunda, ¡rápido!")
	p.tabTo("#least-2")
	p.press("5")
	p.tabTo("#new > button")
	p.press(kb.Enter)
	p.waitFor(`document.activeElement.id === "name" && document.activeElement.getAttribute("aria-invalid") === "true"`)
	p.says("#new", `found the text "", wanted a text of 1 or more characters`)
	p.sound("new tryout, without a name", "422")
	p.press("Autumn")
	p.press(kb.Enter) // from within a field
	p.waitFor(`document.activeElement.id === "panel" && document.querySelector("#least-2").getAttribute("aria-invalid") === "true"`)
	p.says("#new", `found "E2" twice, wanted each evaluator once`)
	p.sound("new tryout, refused", "422")
	p.shot("new-tryout-refused")
	p.fill("#panel", "E1\nE2")
	p.fill("#least-2", "1")
	p.tabTo("#new > button")
	s.cut.Store(true)
	p.press(kb.Enter)
	p.says("#notice", "There is no connection")
	s.cut.Store(false)
	p.press(kb.Enter)
	p.waitFor(`document.querySelector("#enrol") && !document.querySelector(".scripted[hidden]")`)
	made := read[struct {
		ID, Name string
		Panel    []string
		Looks    int
		Items    []struct {
			Item, Title string
			Range       []float64
		}
	}](t, s, "/v1/tryouts")
	if len(made) != 1 || made[0].Name != "Autumn" || strings.Join(made[0].Panel, " ") != "E1 E2" || made[0].Looks != 1 || len(made[0].Items) != 1 ||
		made[0].Items[0].Item != "brazo-a-segunda-rapido" || made[0].Items[0].Title != "Brazo a segunda, ¡rápido!" {
		t.Fatalf("made is %+v", made)
	}

	p.tabTo("#players")
	p.press("7, P-07\n12; P-12\n14")
	p.tabTo("#enrol button")
	p.press(kb.Enter)
	p.says("#notice", "Put on the roster: 2.")
	p.says("#enrol", "1 lines were refused and stay in the field: 14: found")
	p.says("#live", "2 players, 2 evaluators, 0 grades.")
	p.sound("roster, a line refused", "422", "ERR_", "Failed to fetch")
	p.shot("roster-refused")
	p.waitFor(`document.activeElement.id === "players" && document.activeElement.value === "14"`)
	p.press(kb.End + ", P-14")
	p.tabTo("#enrol button")
	p.press(kb.Enter)
	p.says("#live", "3 players")
	p.tabTo("#roster summary")
	p.press(kb.Enter)
	p.says("#roster", "Bib 7 Bib 12 Bib 14")
}
