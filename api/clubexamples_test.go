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
	ID     string            // of the operation
	Target string            // {name} stands for what was kept
	Header []string          // pairs
	Keep   map[string]string // name to JSON Pointer of the answer, "ETag" for the header
}

// clubExamples has an entry for every operation that asks for a key.
var clubExamples = func() (walk []clubExample) {
	text, err := os.ReadFile("../testdata/api/club/walk.json")
	if err == nil {
		err = json.Unmarshal(text, &walk)
	}
	if err != nil {
		panic(err)
	}
	return walk
}()

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
		done[e.ID] = true
		t.Run(e.ID, func(t *testing.T) {
			w := sendExample(t, s, routes[e.ID], "admin", e, kept)
			if w.Code >= 300 {
				t.Fatalf("the example is answered %d: %s", w.Code, cut(w.Body.String()))
			}
			e.remember(t, w, kept)
			if !strings.HasPrefix(w.Header().Get("Content-Type"), "application/json") || open[e.ID] {
				return
			}
			compareExample(t, e.ID, steady(w.Body.Bytes()))
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
	if e.ID == "read-export" {
		s.finishExport(t, kept["export"])
	}
	header := []string{}
	for _, h := range e.Header {
		header = append(header, fill(h))
	}
	for _, media := range []string{"application/json", "application/yaml"} {
		if body, ok := api.Example(r.ID+".request", media); ok {
			return s.ask(t, as, r.Method, fill(e.Target), strings.ReplaceAll(string(body), anAssessment, kept["assessment"]), append(header, "Content-Type", media)...)
		}
	}
	return s.ask(t, as, r.Method, fill(e.Target), "", header...)
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
	for name, pointer := range e.Keep {
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
