package api_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/api"
)

// A clubExample asks for one operation, with the example of its body if it has
// one. It is answered by a club in which the ones above it were done.
type clubExample struct {
	id     string            // of the operation
	target string            // {name} stands for what was kept
	header []string          // pairs
	keep   map[string]string // name to JSON Pointer of the answer, "ETag" for the header
}

// clubExamples has an entry for every operation that asks for a key.
var clubExamples = []clubExample{
	{id: "submit-observations", target: "/v1/observations", keep: map[string]string{"observation": "/lines/0/observation", "assessment": "/lines/0/assessment"}},
	{id: "read-observation", target: "/v1/observations/{observation}"},
	{id: "list-assessments", target: "/v1/assessments?player=P-0733"},
	{id: "read-assessment", target: "/v1/assessments/{assessment}"},
	{id: "replay-assessment", target: "/v1/assessments/{assessment}/replay"},
	{id: "put-player", target: "/v1/players/P-0733"},
	{id: "read-player", target: "/v1/players/P-0733"},
	{id: "list-players", target: "/v1/players?group=u14"},
	{id: "put-group", target: "/v1/groups/monday-catchers"},
	{id: "read-group", target: "/v1/groups/monday-catchers"},
	{id: "list-groups", target: "/v1/groups"},
	{id: "plan-group", target: "/v1/groups/monday-catchers/plan"},
	{id: "delete-group", target: "/v1/groups/monday-catchers"},
	{id: "publish-rubric", target: "/v1/rubrics/quick-hands?reason=our+own", header: []string{"If-None-Match", "*"}},
	{id: "read-version", target: "/v1/rubrics/quick-hands/versions/1"},
	{id: "list-rubrics", target: "/v1/rubrics"},
	{id: "read-rubric", target: "/v1/rubrics/throw-to-second", keep: map[string]string{"one": "ETag"}},
	{id: "rubric-impact", target: "/v1/rubrics/throw-to-second/impact"},
	{id: "edit-limits", target: "/v1/rubrics/throw-to-second/limits", header: []string{"If-Match", "{one}"}, keep: map[string]string{"two": "ETag"}},
	{id: "compare-versions", target: "/v1/rubrics/throw-to-second/differences?from=1&to=2"},
	{id: "activate-rubric", target: "/v1/rubrics/throw-to-second/activate", header: []string{"If-Match", "{two}"}},
	{id: "list-versions", target: "/v1/rubrics/throw-to-second/versions"},
	{id: "rubric-template", target: "/v1/rubrics/throw-to-second/template.csv"},
	{id: "reassess", target: "/v1/rubrics/throw-to-second/reassess", keep: map[string]string{"job": "/job"}},
	{id: "add-key", target: "/v1/keys", keep: map[string]string{"key": "/id"}},
	{id: "list-keys", target: "/v1/keys"},
	{id: "revoke-key", target: "/v1/keys/{key}"},
	{id: "list-changes", target: "/v1/changes?limit=2"},

	{id: "read-settings", target: "/v1/settings", keep: map[string]string{"settings": "ETag"}},
	{id: "put-settings", target: "/v1/settings", header: []string{"If-Match", "{settings}"}},
	{id: "list-policies", target: "/v1/policies"},
	{id: "read-policy", target: "/v1/policies/pitch-smart"},
	{id: "put-policy", target: "/v1/policies/harbour-league"},
	{id: "add-throws", target: "/v1/players/P-0733/throws", keep: map[string]string{"throw": "/lines/0/id", "other": "/lines/1/id"}},
	{id: "correct-throw", target: "/v1/players/P-0733/throws/{throw}"},
	{id: "withdraw-throw", target: "/v1/players/P-0733/throws/{other}"},
	{id: "list-throws", target: "/v1/players/P-0733/throws?from=2026-05-01"},
	{id: "read-workload", target: "/v1/players/P-0733/workload?on=2026-05-10&planned=drills"},
	{id: "add-webhook", target: "/v1/webhooks", keep: map[string]string{"webhook": "/id"}},
	{id: "put-review", target: "/v1/assessments/{assessment}/review"},
	{id: "read-review", target: "/v1/assessments/{assessment}/review"},
	{id: "read-report", target: "/v1/assessments/{assessment}/report"},
	{id: "read-progress", target: "/v1/players/P-0733/progress"},
	{id: "cue-effect", target: "/v1/rubrics/throw-to-second/faults/stride-off-line/effect"},
	{id: "list-cues", target: "/v1/players/P-0733/cues", keep: map[string]string{"cue": "/items/0/id"}},
	{id: "mark-cue", target: "/v1/players/P-0733/cues/{cue}"},
	{id: "add-link", target: "/v1/links", keep: map[string]string{"link": "/id"}},
	{id: "list-links", target: "/v1/links"},
	{id: "revoke-link", target: "/v1/links/{link}"},
	{id: "list-webhooks", target: "/v1/webhooks"},
	{id: "test-webhook", target: "/v1/webhooks/{webhook}/test"},
	{id: "list-deliveries", target: "/v1/webhooks/{webhook}/deliveries"},
	{id: "replay-webhook", target: "/v1/webhooks/{webhook}/replay"},
	{id: "rotate-secret", target: "/v1/webhooks/{webhook}/secret"},
	{id: "put-webhook", target: "/v1/webhooks/{webhook}"},
	{id: "delete-webhook", target: "/v1/webhooks/{webhook}"},
	{id: "read-job", target: "/v1/jobs/{job}"},
	{id: "cancel-job", target: "/v1/jobs/{job}"},
	{id: "add-tryout", target: "/v1/tryouts", keep: map[string]string{"tryout": "/id"}},
	{id: "list-tryouts", target: "/v1/tryouts"},
	{id: "read-tryout", target: "/v1/tryouts/{tryout}", keep: map[string]string{"settled": "ETag"}},
	{id: "put-tryout", target: "/v1/tryouts/{tryout}", header: []string{"If-Match", "{settled}"}},
	{id: "add-roster", target: "/v1/tryouts/{tryout}/roster"},
	{id: "correct-bibs", target: "/v1/tryouts/{tryout}/bibs"},
	{id: "withdraw-bib", target: "/v1/tryouts/{tryout}/roster/33"},
	{id: "read-roster", target: "/v1/tryouts/{tryout}/roster"},
	{id: "submit-grades", target: "/v1/tryouts/{tryout}/grades"},
	{id: "list-grades", target: "/v1/tryouts/{tryout}/grades"},
	{id: "put-recusal", target: "/v1/tryouts/{tryout}/recusals/E2/12"},
	{id: "list-recusals", target: "/v1/tryouts/{tryout}/recusals"},
	{id: "list-missing-looks", target: "/v1/tryouts/{tryout}/missing"},
	{id: "read-agreement", target: "/v1/tryouts/{tryout}/agreement"},
	{id: "read-standing", target: "/v1/tryouts/{tryout}/standing"},
	{id: "read-training", target: "/v1/tryouts/{tryout}/training?instructor=E1"},
	{id: "drop-recusal", target: "/v1/tryouts/{tryout}/recusals/E2/12"},
	{id: "add-decision", target: "/v1/tryouts/{tryout}/decisions"},
	{id: "list-decisions", target: "/v1/tryouts/{tryout}/decisions"},
	{id: "close-tryout", target: "/v1/tryouts/{tryout}/close"},
	{id: "reopen-tryout", target: "/v1/tryouts/{tryout}/reopen"},
	{id: "export-player", target: "/v1/players/P-0733/export"},
	{id: "add-export", target: "/v1/exports", keep: map[string]string{"export": "/export"}},
	{id: "read-export", target: "/v1/exports/{export}"},
	{id: "hold-player", target: "/v1/players/P-0733/hold"},
	{id: "erase-player", target: "/v1/players/P-0733"},
}

// Each example of an operation of clubs is the true answer to the example
// beside it, but for ids, times, secrets and hashes, which differ each time.
func TestClubExamples(t *testing.T) {
	s := embeddedServer(t)
	open := map[string]bool{} // shown by TestExamples
	for _, r := range plainServer().Routes {
		open[r.ID] = r.Role == api.Open
	}
	routes, done := map[string]*api.Route{}, map[string]bool{}
	for _, r := range s.Routes {
		routes[r.ID] = r
	}
	kept := map[string]string{}
	for _, e := range clubExamples {
		done[e.id] = true
		t.Run(e.id, func(t *testing.T) {
			w := sendExample(t, s, routes[e.id], "admin", e, kept)
			if w.Code >= 300 {
				t.Fatalf("the example is answered %d: %s", w.Code, cut(w.Body.String()))
			}
			e.remember(t, w, kept)
			if !strings.HasPrefix(w.Header().Get("Content-Type"), "application/json") || open[e.id] {
				return
			}
			compareExample(t, e.id, steady(w.Body.Bytes()))
		})
	}
	for _, r := range s.Routes {
		if r.Role > api.Open && !done[r.ID] && !withoutExample[r.ID] {
			t.Errorf("%s has no entry in clubExamples", r.ID)
		}
	}
}

// anAssessment stands in examples of bodies for the id of an assessment.
const anAssessment = "0197a3b1-6f1e-7c41-9a3e-2b7d5c0e4f10"

func sendExample(t *testing.T, s *clubServer, r *api.Route, as string, e clubExample, kept map[string]string) *httptest.ResponseRecorder {
	t.Helper()
	fill := func(text string) string {
		for name, value := range kept {
			text = strings.ReplaceAll(text, "{"+name+"}", value)
		}
		return text
	}
	if e.id == "read-export" {
		s.finishExport(t, kept["export"])
	}
	header := []string{}
	for _, h := range e.header {
		header = append(header, fill(h))
	}
	for _, media := range []string{"application/json", "application/yaml"} {
		if body, ok := api.Example(r.ID+".request", media); ok {
			return s.ask(t, as, r.Method, fill(e.target), strings.ReplaceAll(string(body), anAssessment, kept["assessment"]), append(header, "Content-Type", media)...)
		}
	}
	return s.ask(t, as, r.Method, fill(e.target), "", header...)
}

// finishExport does the work of an export's job.
func (s *clubServer) finishExport(t testing.TB, id string) {
	t.Helper()
	for done := false; !done; {
		var err error
		if _, done, err = s.clubs.ExportSome(t.Context(), s.actor(t, "admin").Club, id); err != nil {
			t.Fatal(err)
		}
	}
}

// remember keeps what later examples name.
func (e clubExample) remember(t *testing.T, w *httptest.ResponseRecorder, kept map[string]string) {
	t.Helper()
	for name, pointer := range e.keep {
		if kept[name] = w.Header().Get("ETag"); pointer != "ETag" {
			kept[name] = strings.Trim(at(t, w.Body.Bytes(), pointer), `"`)
		}
	}
}

func compareExample(t *testing.T, id string, body []byte) {
	t.Helper()
	var got bytes.Buffer
	if err := json.Indent(&got, body, "", "  "); err != nil {
		t.Fatal(err)
	}
	want, ok := api.Example(id+".answer", "application/json")
	if *update {
		if err := os.WriteFile("examples/"+id+".answer.json", got.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if diff := cmp.Diff(string(want), got.String()); !ok || diff != "" {
		t.Errorf("examples/%s.answer.json is not the answer (go test ./api -run TestClubExamples -update writes it):\n%s", id, diff)
	}
}

var (
	anyID     = regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f]{4}-[47][0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{12}`)
	anyTime   = regexp.MustCompile(`"20\d\d-\d\d-\d\dT[0-9:.]+Z"`)
	anyHash   = regexp.MustCompile(`\b[0-9a-f]{64}\b`)
	anySecret = regexp.MustCompile(`rc_[A-Za-z0-9_-]+`)
	anyToken  = regexp.MustCompile(`/links/[A-Za-z0-9_-]{50,}/`)
	anyHook   = regexp.MustCompile(`whsec_[A-Za-z0-9+/=]+`)
	anyCursor = regexp.MustCompile(`"next":"[^"]+"`)
	today     = regexp.MustCompile(`"effective_from":"[^"]+"`)
)

// steady writes in place of what differs each time what never does.
func steady(body []byte) []byte {
	ids := map[string]string{}
	body = anyID.ReplaceAllFunc(body, func(id []byte) []byte {
		if ids[string(id)] == "" {
			ids[string(id)] = fmt.Sprintf("0197a3b1-6f1e-7c41-9a3e-2b7d5c0e4f%02x", 16+len(ids))
		}
		return []byte(ids[string(id)])
	})
	body = anyTime.ReplaceAll(body, []byte(`"2026-05-09T18:30:00Z"`))
	body = anyHash.ReplaceAll(body, []byte(strings.Repeat("3fa1c09e", 8)))
	body = anyCursor.ReplaceAll(body, []byte(`"next":"b3BhcXVlIGN1cnNvcg"`))
	body = anyToken.ReplaceAll(body, []byte("/links/"+strings.Repeat("kept-nowhere-", 4)+"/"))
	body = anyHook.ReplaceAll(body, []byte("whsec_"+strings.Repeat("keptnowhere0", 3)))
	body = today.ReplaceAll(body, []byte(`"effective_from":"2026-05-09"`))
	return anySecret.ReplaceAllFunc(body, func(s []byte) []byte {
		return []byte("rc_" + strings.Repeat("kept-nowhere-", 4)[:len(s)-3])
	})
}
