package api_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"rootcue/api"
)

const metricsToken = "metrics-for-tests"

// newServer is a server of the shipped rubrics; change may be nil.
func newServer(t testing.TB, change func(*api.Options)) *api.Server {
	t.Helper()
	shelf := api.ShippedShelf()
	o := api.Options{Rubrics: shelf, Policies: shelf, MetricsToken: metricsToken}
	if change != nil {
		change(&o)
	}
	return api.New(o)
}

// plainServer is shared by tests that change nothing.
var plainServer = sync.OnceValue(func() *api.Server {
	shelf := api.ShippedShelf()
	return api.New(api.Options{Rubrics: shelf, Policies: shelf, MetricsToken: metricsToken})
})

// send asks a server and holds the answer against the OpenAPI document.
func send(t testing.TB, s *api.Server, r *http.Request) *httptest.ResponseRecorder {
	t.Helper()
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	checkAnswer(t, r.Method, r.URL.Path, w)
	return w
}

func ask(t testing.TB, s *api.Server, method, target, body string, header ...string) *httptest.ResponseRecorder {
	t.Helper()
	r := httptest.NewRequest(method, target, strings.NewReader(body))
	for i := 0; i < len(header); i += 2 {
		r.Header.Add(header[i], header[i+1])
	}
	return send(t, s, r)
}

// A document is the OpenAPI document as its readers see it.
type document struct {
	Paths map[string]map[string]struct {
		OperationID string            `json:"operationId"`
		Role        string            `json:"x-role"`
		Security    []any             `json:"security"`
		Summary     string            `json:"summary"`
		Description string            `json:"description"`
		Parameters  []parameter       `json:"parameters"`
		Body        *bodyContent      `json:"requestBody"`
		Responses   map[string]answer `json:"responses"`
	} `json:"paths"`
	Components struct {
		Schemas map[string]map[string]any `json:"schemas"`
	} `json:"components"`
}

type parameter struct {
	Name, In, Description string
	Example               any
}

type bodyContent struct {
	Content map[string]mediaType `json:"content"`
}

type answer struct {
	Description string               `json:"description"`
	Content     map[string]mediaType `json:"content"`
}

type mediaType struct {
	Schema   any            `json:"schema"`
	Example  any            `json:"example"`
	Examples map[string]any `json:"examples"`
}

var openapi = sync.OnceValues(func() (document, *jsonschema.Compiler) {
	w := httptest.NewRecorder()
	plainServer().ServeHTTP(w, httptest.NewRequest("GET", "/openapi.json", nil))
	var d document
	if err := json.Unmarshal(w.Body.Bytes(), &d); err != nil {
		panic(err)
	}
	raw, err := jsonschema.UnmarshalJSON(w.Body)
	if err != nil {
		panic(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("openapi.json", raw); err != nil {
		panic(err)
	}
	return d, c
})

var compiled sync.Map // by JSON Pointer

// schemaAt compiles a schema of the OpenAPI document.
func schemaAt(t testing.TB, pointer ...string) *jsonschema.Schema {
	t.Helper()
	escape := strings.NewReplacer("~", "~0", "/", "~1", "{", "%7B", "}", "%7D", "+", "%2B")
	at := "openapi.json#"
	for _, p := range pointer {
		at += "/" + escape.Replace(p)
	}
	if s, ok := compiled.Load(at); ok {
		return s.(*jsonschema.Schema)
	}
	_, c := openapi()
	s, err := c.Compile(at)
	if err != nil {
		t.Fatalf("schema %s: %v", at, err)
	}
	compiled.Store(at, s)
	return s
}

// checkAnswer fails unless the OpenAPI document allows the answer: its status,
// its media type and, in JSON, its body.
func checkAnswer(t testing.TB, method, path string, w *httptest.ResponseRecorder) {
	t.Helper()
	media, _, _ := strings.Cut(w.Header().Get("Content-Type"), ";")
	var body any
	if strings.Contains(media, "json") && media != "application/x-ndjson" && w.Header().Get("Content-Encoding") == "" && method != http.MethodHead {
		var err error
		if body, err = jsonschema.UnmarshalJSON(strings.NewReader(w.Body.String())); err != nil {
			t.Fatalf("%s %s: answer is not JSON: %v", method, path, err)
		}
	}
	if w.Code == http.StatusMethodNotAllowed || w.Code == http.StatusNotModified || method == http.MethodOptions {
		return
	}
	route := pathOf(path)
	if route == "" {
		if w.Code != http.StatusNotFound {
			t.Errorf("%s %s answers %d but is not in the OpenAPI document", method, path, w.Code)
		}
		return
	}
	if method == http.MethodHead {
		method = http.MethodGet
	}
	d, _ := openapi()
	status := httpStatus(w.Code)
	res, ok := d.Paths[route][strings.ToLower(method)].Responses[status]
	if !ok {
		t.Errorf("%s %s answers %s, which the OpenAPI document does not list\n%s", method, path, status, w.Body)
		return
	}
	if _, ok := res.Content[media]; !ok && w.Body.Len() > 0 {
		t.Errorf("%s %s answers %s in %q, which the OpenAPI document does not list", method, path, status, media)
		return
	}
	if body != nil {
		if err := schemaAt(t, "paths", route, strings.ToLower(method), "responses", status, "content", media, "schema").Validate(body); err != nil {
			t.Errorf("%s %s: answer does not fit its schema: %v\n%s", method, path, err, cut(w.Body.String()))
		}
	}
}

// pathOf finds the OpenAPI path of a request's path, "" without one. A path
// without parameters goes before one with.
func pathOf(path string) string {
	d, _ := openapi()
	if _, ok := d.Paths[path]; ok {
		return path
	}
	parts := strings.Split(path, "/")
next:
	for candidate := range d.Paths {
		want := strings.Split(candidate, "/")
		if len(want) != len(parts) {
			continue
		}
		for i := range want {
			if want[i] != parts[i] && !strings.HasPrefix(want[i], "{") {
				continue next
			}
		}
		return candidate
	}
	return ""
}

func httpStatus(code int) string { return strconv.Itoa(code) }

func cut(s string) string { return s[:min(len(s), 1500)] }

// problem reads a problem's body.
func problem(t testing.TB, w *httptest.ResponseRecorder) api.Problem {
	t.Helper()
	var p api.Problem
	if w.Header().Get("Content-Type") != "application/problem+json" {
		t.Fatalf("answer %d is no problem but %q: %s", w.Code, w.Header().Get("Content-Type"), cut(w.Body.String()))
	}
	if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil {
		t.Fatal(err)
	}
	if p.Status != w.Code {
		t.Errorf("the problem says status %d, the answer has %d", p.Status, w.Code)
	}
	return p
}
