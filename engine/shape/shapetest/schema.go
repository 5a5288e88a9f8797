// Package shapetest holds documents against a JSON Schema with a validator that
// is not ours.
package shapetest

import (
	"bytes"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// Compile holds a schema itself against its draft and makes it ready.
func Compile(t testing.TB, schema []byte) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource("test.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("test.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Validate tells what the schema has against a document, which is JSON.
func Validate(t testing.TB, s *jsonschema.Schema, document []byte) error {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(document))
	if err != nil {
		t.Fatal(err)
	}
	return s.Validate(v)
}
