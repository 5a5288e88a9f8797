package shape

import (
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"rootcue/engine/shape/shapetest"
)

// validator is the schema of testShape with a library that is not ours.
func validator(t *testing.T, part string) *jsonschema.Schema {
	t.Helper()
	return shapetest.Compile(t, testShape.Schema("test.json", part))
}

func valid(t *testing.T, s *jsonschema.Schema, src string) bool {
	t.Helper()
	n, problems := Read("", []byte(src))
	if n == nil {
		t.Fatal(problems)
	}
	return shapetest.Validate(t, s, n.JSON()) == nil
}

// TestSchemaAgreesWithCheck: both take and refuse the same documents, rule by
// rule.
func TestSchemaAgreesWithCheck(t *testing.T) {
	s := validator(t, "")
	for _, tt := range checkCases {
		if got := valid(t, s, tt.src); got != (tt.want == "") {
			t.Errorf("%s: the schema says %v, Check %q", tt.name, got, tt.want)
		}
	}
}

// TestSchemaOfSome: the schema and Check ask alike for one of some keys.
func TestSchemaOfSome(t *testing.T) {
	some := Object(May("a", "A", "A number.", Num()), May("b", "B", "A number.", Num()), May("c", "C", "A number.", Num())).Some("a", "b")
	s := shapetest.Compile(t, some.Schema("test.json", ""))
	for src, want := range map[string]bool{"{a: 1}": true, "{b: 1, c: 2}": true, "{c: 1}": false, "{}": false, "{a: null}": false} {
		n, _ := Read("", []byte(src))
		if byCheck := len(some.Check(n)) == 0; byCheck != want || valid(t, s, src) != want {
			t.Errorf("%s: Check says %v, the schema %v, wanted %v", src, byCheck, valid(t, s, src), want)
		}
	}
}

// TestSchemaOfParts: a document with the key that marks a change is held
// against CheckPart, one without against Check.
func TestSchemaOfParts(t *testing.T) {
	s := validator(t, "day")
	for src, want := range map[string]bool{
		"{title: a}":                             true,
		"{count: 1}":                             false,
		"{day: 04-30}":                           true,
		"{day: 04-30, title: null, few: null}":   true,
		"{day: 04-30, word: null, either: null}": true,
		"{day: 04-30, what: null, pair: null}":   true,
		"{day: 04-30, free: {a: null}}":          true,
		"{day: 04-30, inner: {}}":                true,
		"{day: 04-30, count: 0}":                 false,
		"{day: 04-30, cuont: 1}":                 false,
		"{title: a, word: null}":                 false,
	} {
		if got := valid(t, s, src); got != want {
			t.Errorf("%s: got %v", src, got)
		}
	}
}

func TestSchemaWords(t *testing.T) {
	text := string(testShape.Schema("test.json", ""))
	for _, want := range []string{`"$schema": "https://json-schema.org/draft/2020-12/schema"`, `"$id": "test.json"`, `"title": "Count"`, `"description": "A whole number."`} {
		if !strings.Contains(text, want) {
			t.Errorf("the schema lacks %s", want)
		}
	}
	if strings.Index(text, `"title": "Title"`) > strings.Index(text, `"title": "Count"`) {
		t.Error("keys are not in the order of the table")
	}
}
