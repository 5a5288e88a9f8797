package api_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/api"
)

var update = flag.Bool("update", false, "write the examples' answers anew")

// withoutExample are operations whose answer is a page, a file or the document
// that would hold the example.
var withoutExample = map[string]bool{"openapi": true, "docs": true, "static": true, "read-problem": true, "metrics": true, "open-link": true}

// Each example of the OpenAPI document is the true answer to the example
// beside it.
func TestExamples(t *testing.T) {
	s := newServer(t, nil)
	for _, r := range s.Routes {
		if withoutExample[r.ID] || r.Role > api.Open { // those of clubs: TestClubExamples
			continue
		}
		t.Run(r.ID, func(t *testing.T) {
			w := send(t, s, exampleRequest(t, r))
			if w.Code != 200 {
				t.Fatalf("the example is answered %d: %s", w.Code, cut(w.Body.String()))
			}
			var got bytes.Buffer
			if err := json.Indent(&got, w.Body.Bytes(), "", "  "); err != nil {
				t.Fatal(err)
			}
			want, ok := api.Example(r.ID+".answer", "application/json")
			if *update {
				if err := os.WriteFile("examples/"+r.ID+".answer.json", got.Bytes(), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			if diff := cmp.Diff(string(want), got.String()); !ok || diff != "" {
				t.Errorf("examples/%s.answer.json is not the answer (go test ./api -run TestExamples -update writes it):\n%s", r.ID, diff)
			}
		})
	}
}

var pathParam = regexp.MustCompile(`\{(\w+)\}`)

// exampleRequest is the request that the OpenAPI document shows for a route.
func exampleRequest(t *testing.T, r *api.Route) *http.Request {
	t.Helper()
	d, _ := openapi()
	op := d.Paths[r.Path][strings.ToLower(r.Method)]
	path := pathParam.ReplaceAllStringFunc(r.Path, func(p string) string {
		for _, param := range op.Parameters {
			if param.In == "path" && param.Name == strings.Trim(p, "{}") {
				return fmt.Sprint(param.Example)
			}
		}
		t.Fatalf("the parameter %s has no example", p)
		return ""
	})
	if op.Body == nil {
		return httptest.NewRequest(r.Method, path, nil)
	}
	for media := range op.Body.Content {
		if body, ok := api.Example(r.ID+".request", media); ok {
			req := httptest.NewRequest(r.Method, path, bytes.NewReader(body))
			req.Header.Set("Content-Type", media)
			return req
		}
	}
	t.Fatalf("%s has no example of a body", r.ID)
	return nil
}
