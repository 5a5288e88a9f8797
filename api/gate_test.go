package api_test

import (
	"encoding/json"
	"fmt"
	"html"
	"net/url"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rootcue/engine"
	"rootcue/engine/rubric"
	"rootcue/internal/club"
	"rootcue/rubrics"
)

// shippedDrills are the titles of a shipped rubric's drills, those that throw
// and all.
func shippedDrills(t testing.TB, name string) (throwing, all []string) {
	t.Helper()
	src, err := rubrics.Files.ReadFile(name + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	r, slips := rubric.Parse(name+".yaml", src, nil)
	if r == nil {
		t.Fatal(slips)
	}
	for _, d := range r.Drills {
		all = append(all, d.Title)
		if d.Throws > 0 {
			throwing = append(throwing, d.Title)
		}
	}
	if len(throwing) == 0 || len(throwing) == len(all) {
		t.Fatal("the rubric does not tell throwing drills from others")
	}
	return throwing, all
}

// Over random ledgers and observations, no answer in any format and no page
// holds a throwing drill while throwing is stopped, and none at all after pain
// or a blow until it is cleared. The rule is written here once more, plainly.
func TestNothingStoppedIsHandedOut(t *testing.T) {
	s := embeddedServer(t)
	throwing, all := shippedDrills(t, "throw-to-second")
	n := 0
	for _, reported := range []string{"", "tired", "pain", "head-or-chest-blow"} { // surely in the ledger, beside what is drawn
		t.Run("reported "+reported, func(t *testing.T) {
			stops := 0
			rapid.Check(t, func(rt *rapid.T) {
				n++
				ref := fmt.Sprintf("G-%04d", n)
				tired, pain := drawLedger(rt, t, s, ref, reported)
				if reported == "" || pain || reported == "tired" && tired {
					stops++
				}
				id := drawAssessment(rt, t, s, ref)
				releaseWithThrows(t, s, id)
				for form, body := range forms(t, s, ref, id, "read", "edit") {
					noStoppedDrill(rt, form, body, throwing, all, tired, pain)
				}
			})
			if stops == 0 {
				t.Error("no ledger stopped anything: the property says nothing")
			}
		})
	}
}

// noStoppedDrill holds one answer to what the arm's record stops.
func noStoppedDrill(rt *rapid.T, form, body string, throwing, all []string, tired, pain bool) {
	for _, title := range all {
		handed := strings.Contains(body, title) || strings.Contains(body, html.EscapeString(title))
		switch {
		case handed && pain:
			rt.Fatalf("%s hands out %q in spite of pain or a blow", form, title)
		case handed && tired && slices.Contains(throwing, title):
			rt.Fatalf("%s hands out %q to a tired arm", form, title)
		}
	}
	if pain && !strings.Contains(body, "pain") && !strings.Contains(body, "blow") && !strings.Contains(body, "caution-applies") && !strings.Contains(body, "A caution applies") {
		rt.Fatalf("%s carries no caution", form)
	}
}

// drawLedger enters a ledger, and tells whether it stops today's throwing
// because the arm is tired, and whether pain or a blow stops everything.
func drawLedger(rt *rapid.T, t testing.TB, s *clubServer, ref, reported string) (tired, pain bool) {
	type entry struct {
		Date string `json:"date"`
		Kind string `json:"kind"`
		Note string `json:"note,omitempty"`
		Pain bool   `json:"pain,omitempty"`
	}
	kinds := []string{"pitches", "bullpen", "pain", "tired", "head-or-chest-blow", "cleared"}
	var list []entry
	lastHurt, lastCleared := 0, 0
	for i := range rapid.IntRange(0, 4).Draw(rt, "entries") + 1 {
		day, kind := 10, reported // the one reported today comes first
		if i > 0 {
			day, kind = rapid.IntRange(1, 10).Draw(rt, "day"), rapid.SampledFrom(kinds).Draw(rt, "kind")
		} else if reported == "" {
			continue
		}
		e := entry{Date: fmt.Sprintf("2026-05-%02d", day), Kind: kind, Note: "physician"}
		e.Pain = e.Kind == "pitches" && rapid.Bool().Draw(rt, "hurts")
		switch {
		case e.Kind == "pain" || e.Kind == "head-or-chest-blow" || e.Pain:
			lastHurt = max(lastHurt, day)
		case e.Kind == "cleared":
			lastCleared = max(lastCleared, day)
		case e.Kind == "tired" && day == 10:
			tired = true
		}
		list = append(list, e)
	}
	b, err := json.Marshal(list)
	if err != nil {
		t.Fatal(err)
	}
	if len(list) > 0 {
		if w := s.ask(t, "admin", "POST", "/v1/players/"+ref+"/throws", string(b), "Content-Type", "application/json"); w.Code != 200 || strings.Contains(w.Body.String(), `"status":"refused"`) {
			t.Fatalf("%s: %s", b, w.Body)
		}
	}
	return tired, lastHurt > lastCleared
}

// drawAssessment submits reps with faults that ask for drills of both sorts.
func drawAssessment(rt *rapid.T, t testing.TB, s *clubServer, ref string) string {
	day := rapid.IntRange(1, 10).Draw(rt, "seen on")
	measures := rapid.SliceOfNDistinct(rapid.SampledFrom([]string{`"stride_off_line": 25`, `"feet_lag": 0.3`, `"transfer_height": -0.3`, `"front_shoulder_open": 60`, `"elbow_height_release": -0.2`, `"drawback": 0.3`}), 1, 4, rapid.ID).Draw(rt, "measures")
	reps := fmt.Sprintf(`{"rep": 1, "measures": {%s}}`, strings.Join(measures, ", "))
	body := fmt.Sprintf(`{"rubric": "throw-to-second", "player": {"ref": %q, "age": 12, "stature_cm": 151}, "on": "2026-05-%02d", "reps": [%s]}`, ref, day, reps)
	w := s.ask(t, "submit", "POST", "/v1/observations", body, "Content-Type", "application/json")
	if w.Code != 200 {
		t.Fatalf("%s: %s", body, w.Body)
	}
	return strings.Trim(at(t, w.Body.Bytes(), "/lines/0/assessment"), `"`)
}

// releaseWithThrows releases a review that swaps a throwing drill into every
// correction.
func releaseWithThrows(t testing.TB, s *clubServer, id string) {
	var stored struct {
		WorkOn []engine.WorkOn `json:"work_on"`
	}
	body, _, err := s.clubs.Assessment(t.Context(), s.actor(t, "admin"), id)
	if err == nil {
		err = json.Unmarshal(body, &stored)
	}
	if err != nil {
		t.Fatal(err)
	}
	review := club.Review{}
	for _, w := range stored.WorkOn {
		review.Cues = append(review.Cues, club.CueSwap{Fault: w.Fault, Drills: []string{"knee-throws"}})
	}
	if _, err := s.clubs.PutReview(t.Context(), s.actor(t, "edit"), id, review, true, 0); err != nil {
		t.Fatal(err)
	}
}

// actor is who a role's key belongs to.
func (s *clubServer) actor(t testing.TB, role string) club.Actor {
	t.Helper()
	id, k, err := s.clubs.Authenticate(t.Context(), s.secrets[role])
	if err != nil {
		t.Fatal(err)
	}
	return club.Actor{Club: id, KeyID: k.ID, Health: role == "edit" || role == "admin", Admin: role == "admin", Limited: role == "read"}
}

// carriers are the routes whose answer shows an assessment or what an arm may
// do: each must carry its cautions. others show none. A new route must be put
// into one of the two.
var carriers = map[string]string{
	"list-assessments": "/v1/assessments?player={ref}",
	"read-assessment":  "/v1/assessments/{id}",
	"read-review":      "/v1/assessments/{id}/review",
	"read-report":      "/v1/assessments/{id}/report",
	"read-workload":    "/v1/players/{ref}/workload?on=2026-05-10&planned=drills",
	"plan-group":       "/v1/groups/alone/plan",
	"open-link":        "/v1/links/{token}/report",
}

// carriersElsewhere carry cautions too; other tests hold them to it.
var carriersElsewhere = map[string]string{
	"assess":        "TestAssessCarriesCautions",
	"workload":      "testdata/api/workload-*.txt",
	"put-review":    "answers with what read-review shows",
	"export-player": "club.TestExport",
	"read-export":   "club.TestExport",
}

var noCarriers = strings.Fields(`flight race plan list-rubrics read-rubric check-rubric publish-rubric list-versions read-version activate-rubric compare-versions rubric-template edit-limits rubric-impact reassess
	submit-observations read-observation replay-assessment list-players read-player put-player list-keys add-key revoke-key list-changes read-settings put-settings list-policies read-policy put-policy check-policy add-throws list-throws correct-throw withdraw-throw
	list-links add-link revoke-link list-groups read-group put-group delete-group read-progress cue-effect list-cues mark-cue erase-player hold-player add-export list-webhooks add-webhook rotate-secret put-webhook delete-webhook list-deliveries test-webhook replay-webhook read-job cancel-job
	add-tryout list-tryouts read-tryout put-tryout close-tryout reopen-tryout add-roster read-roster withdraw-bib correct-bibs submit-grades list-grades list-recusals put-recusal drop-recusal
	list-missing-looks read-agreement read-standing read-training add-decision list-decisions
	health ready metrics openapi docs static read-problem`)

// forms asks for everything that shows an assessment, as each role, and gives
// the answers by a name.
func forms(t testing.TB, s *clubServer, ref, id string, as ...string) map[string]string {
	t.Helper()
	w := s.ask(t, "edit", "POST", "/v1/links", fmt.Sprintf(`{"assessment": %q}`, id), "Content-Type", "application/json")
	path := strings.Trim(at(t, w.Body.Bytes(), "/path"), `"`)
	if w := s.ask(t, "edit", "PUT", "/v1/groups/alone", fmt.Sprintf(`{"players": [%q]}`, ref), "Content-Type", "application/json"); w.Code != 200 {
		t.Fatal(w.Body)
	}
	out := map[string]string{}
	for name, target := range carriers {
		target = strings.NewReplacer("{ref}", url.PathEscape(ref), "{id}", id).Replace(target)
		roles := as
		if name == "open-link" {
			target, roles = path, []string{""}
		}
		for _, role := range roles {
			w := s.ask(t, role, "GET", target, "")
			if name == "plan-group" {
				w = s.ask(t, role, "POST", target, `{"practice": {"minutes": 60, "turn": 12, "helpers": 4}}`, "Content-Type", "application/json")
			}
			if w.Code != 200 {
				t.Fatalf("%s as %s: %d %s", name, role, w.Code, cut(w.Body.String()))
			}
			out[name+" as "+role] = w.Body.String()
		}
	}
	return out
}

// Every output form carries cautions, and every route is known to show an
// assessment or not to: a new one fails here until somebody has said which.
func TestEveryFormCarriesCautions(t *testing.T) {
	s := embeddedServer(t)
	for _, r := range s.Routes {
		_, here := carriers[r.ID]
		_, elsewhere := carriersElsewhere[r.ID]
		if none := slices.Contains(noCarriers, r.ID); !here && !elsewhere && !none {
			t.Errorf("%s: say whether its answer shows an assessment or what an arm may do; if so, it must carry cautions", r.ID)
		}
	}
	s.ask(t, "submit", "POST", "/v1/players/P-1/throws", `[{"date": "2026-05-09", "kind": "pain"}]`, "Content-Type", "application/json")
	w := s.ask(t, "submit", "POST", "/v1/observations", `{"rubric": "throw-to-second", "player": {"ref": "P-1", "age": 12}, "on": "2026-05-08", "reps": [{"rep": 1, "measures": {"stride_off_line": 25}}]}`, "Content-Type", "application/json")
	id := strings.Trim(at(t, w.Body.Bytes(), "/lines/0/assessment"), `"`)
	releaseWithThrows(t, s, id)
	for form, body := range forms(t, s, "P-1", id, club.Roles...) {
		if small := strings.HasSuffix(form, " read") || (strings.HasPrefix(form, "read-workload") || strings.HasPrefix(form, "plan-group")) && strings.HasSuffix(form, " submit"); small {
			if !strings.Contains(body, "A caution applies") || strings.Contains(body, "pain-reported") {
				t.Errorf("%s does not say that a caution applies, and no more", form)
			}
			continue
		}
		if !strings.Contains(body, "licensed clinician") {
			t.Errorf("%s does not send to a clinician", form)
		}
	}
	for _, target := range []string{"/v1/assessments?player=P-1&limit=1", "/v1/assessments?fault=stride-off-line", "/v1/assessments?rubric=throw-to-second&from=2026-05-01&old=true"} {
		if w := s.ask(t, "edit", "GET", target, ""); !strings.Contains(w.Body.String(), "pain-reported") {
			t.Errorf("filtered away at %s", target)
		}
	}
	one := s.ask(t, "edit", "GET", "/v1/assessments/"+id, "")
	s.ask(t, "admin", "POST", "/v1/players/P-1/throws", `[{"date": "2026-05-10", "kind": "cleared", "note": "physician"}]`, "Content-Type", "application/json")
	two := s.ask(t, "edit", "GET", "/v1/assessments/"+id, "", "If-None-Match", one.Header().Get("ETag"))
	if two.Code != 200 || strings.Contains(two.Body.String(), "pain-reported") {
		t.Errorf("cleared today, and a cache is told that nothing changed: %d", two.Code)
	}
}

func TestAssessCarriesCautions(t *testing.T) {
	w := ask(t, plainServer(), "POST", "/v1/assess", `{"rubric": "throw-to-second", "player": {"ref": "P-1", "age": 12}, "on": "2026-05-08", "reps": [{"rep": 1, "measures": {"stride_off_line": 25}}]}`)
	if !strings.Contains(w.Body.String(), `"code":"standing"`) {
		t.Errorf("no standing note: %s", cut(w.Body.String()))
	}
}
