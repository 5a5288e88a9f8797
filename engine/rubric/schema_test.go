package rubric

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"rootcue/engine/shape"
	"rootcue/engine/shape/shapetest"
)

// byEditor is what the JSON Schema has against a file.
func byEditor(t *testing.T, s *jsonschema.Schema, file string) error {
	t.Helper()
	n, problems := shape.Read(file, read(t, file))
	if n == nil {
		t.Fatalf("%s: %v", file, problems)
	}
	return shapetest.Validate(t, s, n.JSON())
}

// TestSchemaAgrees: what the form check refuses, the JSON Schema refuses; what
// has only a slip of meaning, or none, it takes. So editors and Parse agree.
func TestSchemaAgrees(t *testing.T) {
	s := shapetest.Compile(t, Schema())
	for _, file := range caseFiles(t, "good", "bad/meaning") {
		if strings.HasSuffix(file, "many-slips-at-once.yaml") {
			continue // of form too
		}
		if err := byEditor(t, s, file); err != nil {
			t.Errorf("%s is refused: %v", file, err)
		}
	}
	for _, file := range caseFiles(t, "bad/form") {
		if byEditor(t, s, file) == nil {
			t.Errorf("%s is accepted", file)
		}
	}
}

// TestSchemaOfChanges: a rubric that extends another need not be complete, and
// may take keys out, but knows no other keys.
func TestSchemaOfChanges(t *testing.T) {
	s := shapetest.Compile(t, Schema())
	refused := map[string]bool{"misspelt-key": true, "path": true}
	for _, file := range caseFiles(t, "bad/extends") {
		name := strings.TrimSuffix(filepath.Base(file), ".yaml")
		if err := byEditor(t, s, file); (err != nil) != refused[name] {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestSchemaTakesShippedRubrics(t *testing.T) {
	s := shapetest.Compile(t, Schema())
	for _, file := range shipped(t) {
		if err := byEditor(t, s, file); err != nil {
			t.Errorf("%s is refused: %v", file, err)
		}
	}
}

// TestSchemaSaysWhatKeysMean: an editor shows a title and a description on
// each key.
func TestSchemaSaysWhatKeysMean(t *testing.T) {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	if err != nil {
		t.Fatal(err)
	}
	keys := 0
	var walk func(at string, v any)
	walk = func(at string, v any) {
		switch v := v.(type) {
		case map[string]any:
			if properties, ok := v["properties"].(map[string]any); ok {
				for name, p := range properties {
					p := p.(map[string]any)
					if keys++; p["title"] == "" || p["title"] == nil || p["description"] == "" || p["description"] == nil {
						t.Errorf("%s/%s has no title or description", at, name)
					}
				}
			}
			for name, inner := range v {
				walk(at+"/"+name, inner)
			}
		case []any:
			for _, inner := range v {
				walk(at, inner)
			}
		}
	}
	walk("", doc)
	if keys < 100 {
		t.Errorf("only %d keys were found", keys)
	}
}

// TestSchemaIsStable: no two calls differ, and keys come in the order in which
// an author writes them.
func TestSchemaIsStable(t *testing.T) {
	first := Schema()
	for range 20 {
		if !bytes.Equal(first, Schema()) {
			t.Fatal("two calls give different bytes")
		}
	}
	_, rest, _ := strings.Cut(string(first), `"title": "Coaching rubric"`)
	for _, title := range []string{"Name", "Extends", "Title", "Skill", "Cut-off", "Bands", "Measures", "Faults", "Outcomes", "Examples"} {
		_, after, found := strings.Cut(rest, `"title": "`+title+`"`)
		if !found {
			t.Fatalf("%s does not stand after the keys that an author writes before it", title)
		}
		rest = after
	}
}
