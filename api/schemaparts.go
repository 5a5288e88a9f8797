package api

import (
	"encoding/json"
	"slices"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"rootcue/engine/practice"
	"rootcue/engine/rubric"
	"rootcue/engine/workload"
)

// Parts for schemas of documents that have no Go type with their keys.

// A key is one key of an object.
type key interface {
	put(s *huma.Schema)
}

type need struct {
	name   string
	schema *huma.Schema
}

type may struct {
	name   string
	schema *huma.Schema
}

func (k need) put(s *huma.Schema) {
	s.Properties[k.name] = k.schema
	s.Required = append(s.Required, k.name)
}

// put lets null stand for a key that is not seen.
func (k may) put(s *huma.Schema) { s.Properties[k.name] = orNull(k.schema) }

func object(description string, keys ...key) *huma.Schema {
	s := &huma.Schema{Type: huma.TypeObject, Description: description, AdditionalProperties: false, Properties: map[string]*huma.Schema{}}
	for _, k := range keys {
		k.put(s)
	}
	slices.Sort(s.Required)
	return s
}

func orNull(s *huma.Schema) *huma.Schema {
	switch {
	case s.Type != "" && len(s.Enum) == 0:
		s.Nullable = true
	case s.Type != "":
		s.Nullable = true
		s.Enum = append(s.Enum, nil)
	case s.OneOf != nil:
		s.OneOf = append(s.OneOf, &huma.Schema{Type: "null"})
	default:
		return &huma.Schema{Title: s.Title, Description: s.Description, AnyOf: []*huma.Schema{s, {Type: "null"}}}
	}
	return s
}

func text(description string) *huma.Schema {
	return &huma.Schema{Type: huma.TypeString, Description: description}
}

func shortText(description string) *huma.Schema {
	most := 200
	return &huma.Schema{Type: huma.TypeString, Description: description, MaxLength: &most}
}

func date(description string) *huma.Schema {
	return &huma.Schema{Type: huma.TypeString, Format: "date", Pattern: `^\d{4}-\d{2}-\d{2}$`, Description: description}
}

func number(description string) *huma.Schema {
	return &huma.Schema{Type: huma.TypeNumber, Format: "double", Description: description}
}

func within(lo, hi float64, s *huma.Schema) *huma.Schema {
	s.Minimum, s.Maximum = &lo, &hi
	return s
}

func atLeast(lo float64, s *huma.Schema) *huma.Schema {
	s.Minimum = &lo
	return s
}

func whole(description string) *huma.Schema {
	return &huma.Schema{Type: huma.TypeInteger, Description: description}
}

func yesNo(description string) *huma.Schema {
	return &huma.Schema{Type: huma.TypeBoolean, Description: description}
}

func oneWord(description string, words ...string) *huma.Schema {
	s := text(description)
	for _, w := range words {
		s.Enum = append(s.Enum, w)
	}
	return s
}

func list(description string, item *huma.Schema) *huma.Schema {
	return &huma.Schema{Type: huma.TypeArray, Description: description, Items: item}
}

func atMost(n int, s *huma.Schema) *huma.Schema {
	s.MaxItems = &n
	return s
}

func fixedList(description string, n int, item *huma.Schema) *huma.Schema {
	s := list(description, item)
	s.MinItems, s.MaxItems = &n, &n
	return s
}

func mapOf(description string, value *huma.Schema) *huma.Schema {
	return &huma.Schema{Type: huma.TypeObject, Description: description, AdditionalProperties: value}
}

func either(description string, of ...*huma.Schema) *huma.Schema {
	return &huma.Schema{Description: description, AnyOf: of}
}

// named keeps a schema in the registry and refers to it.
func named(r schemas, name string, s func() *huma.Schema) *huma.Schema {
	if r.Map()[name] == nil {
		r.Map()[name] = s()
	}
	return &huma.Schema{Ref: r.prefix + name}
}

// fromJSON keeps a JSON Schema written elsewhere, and what it defines, in the
// registry and refers to it.
func fromJSON(r schemas, name string, write func() []byte) *huma.Schema {
	return named(r, name, func() *huma.Schema {
		moved := strings.NewReplacer(`"#/$defs/`, `"`+r.prefix+name+"-").Replace(string(write()))
		var root map[string]any
		if err := json.Unmarshal([]byte(moved), &root); err != nil {
			panic("api: schema is not JSON: " + err.Error())
		}
		defs, _ := root["$defs"].(map[string]any)
		for def, s := range defs {
			r.Map()[name+"-"+def] = &huma.Schema{Extensions: s.(map[string]any)}
		}
		for _, k := range []string{"$defs", "$id", "$schema"} {
			delete(root, k)
		}
		return &huma.Schema{Extensions: root}
	})
}

func rubricSchema(r schemas) *huma.Schema { return fromJSON(r, "Rubric", rubric.Schema) }
func policySchema(r schemas) *huma.Schema { return fromJSON(r, "Policy", workload.Schema) }
func practiceSchema(r schemas) *huma.Schema {
	return fromJSON(r, "Practice", func() []byte { return practice.Form.Schema("", "") })
}
