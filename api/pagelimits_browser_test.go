//go:build !race

package api_test

import (
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"

	"rootcue/engine"
	"rootcue/internal/report/browsertest"
)

const limitsPath = "/rubrics/throw-to-second/edit"

// tallSet is the field of one limit for one band.
const tallSet = `input[data-fault="tall-set"][data-band="11-12"]`

// onLimits opens the editor as an instructor, with the invented club's
// assessments stored and one that is near the limit.
func (s *pageServer) onLimits(t testing.TB, v browsertest.View) tab {
	t.Helper()
	s.demoStored(t)
	const near = `{"rubric": "throw-to-second", "player": {"ref": "P-21", "age": 12, "stature_cm": 151}, "on": "2026-05-09", "reps": [{"rep": 1, "measures": {"hip_height_set": 0.36}}]}`
	if w := s.ask(t, "submit", "POST", "/v1/observations", near); w.Code != 200 {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	p := s.signedIn(t, browsertest.Start(t), "edit", url.QueryEscape(limitsPath), v)
	p.waitFor(`document.body.dataset.started`)
	return p
}

// versions tells the history of throw-to-second, newest first, and which one is
// active.
func (s *pageServer) versions(t testing.TB) (whys []string, active int) {
	t.Helper()
	var list struct {
		Items []struct {
			Version int
			Active  bool
			Why     string
		}
	}
	if err := json.Unmarshal(s.ask(t, "read", "GET", "/v1/rubrics/throw-to-second/versions", "").Body.Bytes(), &list); err != nil {
		t.Fatal(err)
	}
	for _, v := range list.Items {
		whys = append(whys, v.Why)
		if v.Active {
			active = v.Version
		}
	}
	return whys, active
}

// The instructor's task by clicks: change one limit for one band, see what it
// turns, publish it with a reason, see what changed, and go back.
func TestInstructorChangesALimit(t *testing.T) {
	s := newPageServer(t)
	p := s.onLimits(t, browsertest.View{})
	p.says("#impact-line", "Nothing is changed yet.")
	p.fill(tallSet, "0,40") // a comma is good too
	p.says("#impact-line", "1 of 7 stored assessments would come out differently.")
	if got := p.text("#impact"); !strings.Contains(got, "The set is too tall: from close call to sound, in 1") || !strings.Contains(got, "P-21 on 2026-05-09") {
		t.Errorf("the effect is told as %q", got)
	}
	report := browsertest.Eval[string](t, p.Page, `fetch(document.querySelector("#impact a").href).then(r => r.text())`)
	if !strings.Contains(report, "P-21") {
		t.Error("the link leads to no report of P-21")
	}

	p.click("#publish")
	p.waitFor(`document.activeElement.id === "reason" && document.activeElement.validationMessage`)
	if _, active := s.versions(t); active != 1 {
		t.Fatal("it was published without a reason")
	}
	p.fill("#reason", "taller sets pass at 11-12")
	p.click("#publish")
	p.says("#notice", "Version 2 is published and in force.")
	if whys, active := s.versions(t); active != 2 || whys[0] != "taller sets pass at 11-12" {
		t.Errorf("the history has %q, active is %d", whys, active)
	}

	p.click(`[data-compare="1"]`)
	p.says("#compared", "Fault tall-set, at_most, 11-12: was 0.37, is 0.4.")
	p.click(`[data-prepare="1"]`)
	p.says("#compared", "Fault tall-set, at_most, 11-12: was 0.4, is 0.37.")
	p.says("#compared", "of 7 stored assessments would come out differently.")
	p.fill("#back-reason", "too lax after all")
	p.click("#back")
	p.says("#notice", "Version 1 is in force again.")
	if whys, active := s.versions(t); active != 1 || len(whys) != 2 {
		t.Errorf("the history has %q, active is %d", whys, active)
	}
}

// The same task without a mouse.
func TestInstructorChangesALimitByKeyboard(t *testing.T) {
	s := newPageServer(t)
	p := s.onLimits(t, browsertest.View{})
	p.tabTo(tallSet)
	p.press("0.40")
	p.says("#impact-line", "1 of 7 stored assessments")
	p.press(kb.Enter)
	p.waitFor(`document.activeElement.id === "reason"`)
	p.press("taller sets pass")
	p.press(kb.Enter)
	p.says("#notice", "Version 2 is published")
	p.waitFor(`document.activeElement.id === "notice"`)
	p.tabTo(`[data-prepare="1"]`)
	p.press(kb.Enter)
	p.waitFor(`document.activeElement.id === "compared"`)
	p.tabTo("#back + button") // left as it is
	p.press(kb.Enter)
	p.at(`[data-prepare="1"]`)
	p.press(kb.Enter)
	p.at("#compared")
	p.tabTo("#back-reason")
	p.press("back to what was")
	p.press(kb.Enter)
	p.says("#notice", "Version 1 is in force again.")
	if _, active := s.versions(t); active != 1 {
		t.Errorf("version %d is active", active)
	}
}

// A limit that breaks one of the rubric's own examples says so, and is refused.
func TestLimitThatBreaksAnExample(t *testing.T) {
	s := newPageServer(t)
	p := s.onLimits(t, browsertest.View{})
	p.fill(tallSet, "0.30")
	p.says("#impact-line", "Examples of the rubric that break: 1.")
	p.says("#impact", `found example "clean at twelve": tall-set is close, wanted tall-set to be sound`)
	p.fill("#reason", "try it")
	p.click("#publish")
	p.says("#answer", "clean at twelve")
	p.fill(tallSet, "three")
	p.says("#impact-line", "“three” is no number.")
	p.waitFor(`document.querySelector(` + quoted(tallSet) + `).getAttribute("aria-invalid") === "true"`)
	p.click("#reset")
	p.says("#impact-line", "Nothing is changed yet.")
	if _, active := s.versions(t); active != 1 {
		t.Errorf("version %d is active", active)
	}
}

// otherEditor publishes a change from elsewhere.
func (s *pageServer) otherEditor(t testing.TB, fault, limit string) {
	t.Helper()
	body := fmt.Sprintf(`{"limits": [{"fault": %q, "band": "11-12", %s}], "reason": "theirs"}`, fault, limit)
	if w := s.ask(t, "admin", "PATCH", "/v1/rubrics/throw-to-second/limits", body, "Content-Type", "application/json", "If-Match", "*"); w.Code != 200 {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
}

// rows are the cells of a table, row by row.
func (p tab) rows(selector string) [][]string {
	p.t.Helper()
	return browsertest.Eval[[][]string](p.t, p.Page, `[...document.querySelectorAll(`+quoted(selector+" tbody tr")+`)].map(r => [...r.cells].map(c => c.textContent))`)
}

// Two editors at once: what began, theirs and yours stand side by side, and
// what is published on top holds both.
func TestTwoEditorsOfLimits(t *testing.T) {
	s := newPageServer(t)
	p := s.onLimits(t, browsertest.View{})
	p.fill(tallSet, "0.40")
	p.fill(`input[data-fault="slow-change"][data-band="11-12"]`, "0.38")
	p.fill("#reason", "mine")
	s.otherEditor(t, "tall-set", `"at_most": 0.39`)
	s.otherEditor(t, "low-transfer", `"at_least": -0.06`)
	p.click("#publish")
	p.says("#answer", "Version 3 is in force now.")
	want := [][]string{
		{"The set is too tall, 11-12", "0.37", "0.39", "0.40", "both, differently"},
		{"The ball changes hands too low, 11-12", "-0.05", "-0.06", "not touched", "them"},
		{"The change of hands is slow, 11-12", "0.36", "not touched", "0.38", "you"},
	}
	if got := p.rows("#answer table"); !slices.EqualFunc(got, want, slices.Equal) {
		t.Errorf("side by side: %q", got)
	}
	p.sound("limits, in conflict", "412")
	p.click("#on-top")
	p.says("#notice", "Version 4 is published")
	file := s.ask(t, "read", "GET", "/v1/rubrics/throw-to-second", "", "Accept", "application/yaml").Body.String()
	for _, line := range []string{`"11-12": 0.4,`, `"11-12": -0.06`, `"11-12": 0.38`} {
		if !strings.Contains(file, line) {
			t.Errorf("version 4 lacks %s", line)
		}
	}
}

// editFile puts a text in place of the file's.
func (p tab) editFile(text string) {
	p.t.Helper()
	p.set("#source", text)
}

// The file shows the problems that the check on the command line finds, each at
// its line, and the cursor goes there.
func TestFileWithProblems(t *testing.T) {
	s := newPageServer(t)
	p := s.onLimits(t, browsertest.View{})
	p.click("#file summary")
	p.says("#problems-count", "No problem")
	bad, err := os.ReadFile(filepath.Join("..", "rubrics", "throw-to-second.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(string(bad), `at_most: {"8-10": 20,`, `at_msot: {"8-10": 20,`, 1)
	p.editFile(text)
	p.says("#problems-count", "It cannot be published so.")
	_, _, slips := engine.CheckRubric("", []byte(text), nil)
	got := browsertest.Eval[[]string](t, p.Page, `[...document.querySelectorAll("#problems li")].map(l => l.innerText.replace(/\s+/g, " "))`)
	if len(got) != len(slips) || len(got) < 2 {
		t.Fatalf("%d problems are shown, the check finds %d", len(got), len(slips))
	}
	for i, slip := range slips {
		for _, part := range []string{fmt.Sprintf("Line %d ", slip.Line), slip.Found, slip.Wanted, slip.Hint} {
			if !strings.Contains(got[i], strings.Join(strings.Fields(part), " ")) {
				t.Errorf("the problem %q lacks %q", got[i], part)
			}
		}
	}
	p.click("#problems li:nth-of-type(1) button")
	p.waitFor(`document.activeElement.id === "source"`)
	line := browsertest.Eval[string](t, p.Page, `(() => { const s = document.getElementById("source"); return s.value.slice(s.selectionStart, s.selectionEnd) })()`)
	if !strings.Contains(line, "at_msot") {
		t.Errorf("the cursor is at %q", line)
	}
	if gutter := p.text("#gutter"); !strings.Contains(gutter, fmt.Sprintf("▶ %d ", slips[0].Line)) {
		t.Error("the line has no mark")
	}
	p.sound("file with problems")
	p.fill("#file-reason", "try it")
	p.click("#file-publish")
	p.says("#file-answer", "at_msot")
	if _, active := s.versions(t); active != 1 {
		t.Errorf("version %d is active", active)
	}
	p.editFile(strings.Replace(string(bad), `"11-12": 0.37`, `"11-12": 0.40`, 1))
	p.says("#problems-count", "No problem")
	p.click("#file-impact")
	p.says("#file-line", "1 of 7 stored assessments")
	p.click("#file-publish")
	p.says("#notice", "Version 2 is published")
}

// Two editors of the file: three texts side by side where they differ, and one
// text of both that keeps one's own lines where both wrote.
func TestTwoEditorsOfTheFile(t *testing.T) {
	s := newPageServer(t)
	p := s.onLimits(t, browsertest.View{})
	p.click("#file summary")
	p.says("#problems-count", "No problem")
	file := s.ask(t, "read", "GET", "/v1/rubrics/throw-to-second", "", "Accept", "application/yaml").Body.String()
	mine := "# mine\n" + strings.Replace(file, `at_most: {"8-10": 0.38, "11-12": 0.37`, `at_most: {"8-10": 0.38, "11-12": 0.40`, 1)
	p.editFile(mine)
	p.fill("#file-reason", "mine")
	s.otherEditor(t, "tall-set", `"at_most": 0.39`)
	s.otherEditor(t, "slow-change", `"at_most": 0.38`)
	p.click("#file-publish")
	p.says("#file-answer", "In 1 places both of you changed the same lines")
	rows := p.rows("#file-answer table")
	if len(rows) != 3 || rows[0][3] != "# mine" || rows[0][1] != "(no such line)" {
		t.Fatalf("side by side: %q", rows)
	}
	for i, want := range []string{`"11-12": 0.37`, `"11-12": 0.39`, `"11-12": 0.40`} {
		if !strings.Contains(rows[1][i+1], want) {
			t.Errorf("the line of both has %q, wanted %s", rows[1][i+1], want)
		}
	}
	p.sound("file, in conflict", "412")
	p.click("#take-in")
	p.says("#problems-count", "No problem")
	p.click("#file-publish")
	p.says("#notice", "Version 4 is published")
	want := strings.Replace(mine, rows[2][1], rows[2][2], 1)
	if got := s.ask(t, "read", "GET", "/v1/rubrics/throw-to-second", "", "Accept", "application/yaml").Body.String(); got != want {
		t.Error("version 4 is not the text of both")
	}
}
