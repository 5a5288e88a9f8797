package api_test

import (
	"bytes"
	"context"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
)

// Another reader of OpenAPI finds the document good.
func TestDocumentIsOpenAPI(t *testing.T) {
	w := httptest.NewRecorder()
	plainServer().ServeHTTP(w, httptest.NewRequest("GET", "/openapi.json", nil))
	d, err := openapi3.NewLoader().LoadFromData(w.Body.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	if err := d.Validate(context.Background(), openapi3.DisableExamplesValidation()); err != nil {
		t.Error(cut(err.Error()))
	}
}

// The document is the same bytes from every server of the same program.
func TestDocumentIsStable(t *testing.T) {
	a, b := httptest.NewRecorder(), httptest.NewRecorder()
	newServer(t, nil).ServeHTTP(a, httptest.NewRequest("GET", "/openapi.json", nil))
	newServer(t, nil).ServeHTTP(b, httptest.NewRequest("GET", "/openapi.json", nil))
	if !bytes.Equal(a.Body.Bytes(), b.Body.Bytes()) {
		t.Error("two servers write two documents")
	}
}

// Every operation says what it does, who may call it, how it is called and
// what goes wrong, with examples.
func TestOperationsAreDescribed(t *testing.T) {
	d, _ := openapi()
	seen := map[string]string{}
	for path, item := range d.Paths {
		for method, op := range item {
			at := method + " " + path
			if op.OperationID == "" || seen[op.OperationID] != "" {
				t.Errorf("%s has the operation id %q, as has %s", at, op.OperationID, seen[op.OperationID])
			}
			seen[op.OperationID] = at
			if op.Summary == "" || op.Description == "" && op.OperationID != "static" || op.Role == "" {
				t.Errorf("%s: summary %q, description %q, role %q", at, op.Summary, op.Description, op.Role)
			}
			if (len(op.Security) > 0) != (op.Role != "open") {
				t.Errorf("%s: role %s and security %v", at, op.Role, op.Security)
			}
			for _, p := range op.Parameters {
				if p.Description == "" {
					t.Errorf("%s: nothing is said of the parameter %s", at, p.Name)
				}
			}
			if op.Body != nil {
				for media, m := range op.Body.Content {
					checkMedia(t, at+" body "+media, media, m, false)
				}
			}
			for status, res := range op.Responses {
				if res.Description == "" {
					t.Errorf("%s %s has no description", at, status)
				}
				for media, m := range res.Content {
					checkMedia(t, at+" "+status+" "+media, media, m, withoutExample[op.OperationID] && status < "300")
				}
			}
		}
	}
}

func checkMedia(t *testing.T, at, media string, m mediaType, noExample bool) {
	t.Helper()
	if m.Schema == nil {
		t.Errorf("%s has no schema", at)
	}
	if strings.Contains(media, "json") && m.Example == nil && len(m.Examples) == 0 && !noExample {
		t.Errorf("%s has no example", at)
	}
	if (m.Example != nil) == (len(m.Examples) > 0) && m.Example != nil {
		t.Errorf("%s has both example and examples", at)
	}
}

// Every example fits the schema beside it.
func TestExamplesFitTheirSchemas(t *testing.T) {
	d, _ := openapi()
	check := func(where []string, m mediaType) {
		s := schemaAt(t, append(slices.Clone(where), "schema")...)
		values := map[string]any{"example": m.Example}
		for name, e := range m.Examples {
			values[name] = e.(map[string]any)["value"]
		}
		for name, v := range values {
			if v == nil {
				continue
			}
			if err := s.Validate(v); err != nil {
				t.Errorf("%v, example %s: %v", where, name, err)
			}
		}
	}
	for path, item := range d.Paths {
		for method, op := range item {
			if op.Body != nil {
				for media, m := range op.Body.Content {
					check([]string{"paths", path, method, "requestBody", "content", media}, m)
				}
			}
			for status, res := range op.Responses {
				for media, m := range res.Content {
					check([]string{"paths", path, method, "responses", status, "content", media}, m)
				}
			}
		}
	}
}

// Every key of every schema of ours has a title and says what it is.
func TestKeysAreDescribed(t *testing.T) {
	d, _ := openapi()
	for name, s := range d.Components.Schemas {
		properties, _ := s["properties"].(map[string]any)
		for key, p := range properties {
			m, _ := p.(map[string]any)
			if title, _ := m["title"].(string); title == "" {
				t.Errorf("%s.%s has no title", name, key)
			}
			if says, _ := m["description"].(string); says == "" && m["$ref"] == nil {
				t.Errorf("%s.%s has no description", name, key)
			}
		}
	}
}
