package api

import (
	"bytes"
	"cmp"
	"encoding/json"
	"path"
	"reflect"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"rootcue/engine"
	"rootcue/engine/flight"
	"rootcue/engine/panel"
)

// schemas are the schemas of a document by name, and what stands before the
// name in a reference.
type schemas struct {
	huma.Registry
	prefix string
}

// schemasAt makes an empty registry that knows how our types look in JSON.
func schemasAt(prefix string) schemas {
	r := huma.NewMapRegistry(prefix, schemaName)
	r.RegisterTypeAlias(reflect.TypeFor[engine.Number](), reflect.TypeFor[numberSchema]())
	r.RegisterTypeAlias(reflect.TypeFor[panel.Figure](), reflect.TypeFor[numberSchema]())
	r.RegisterTypeAlias(reflect.TypeFor[engine.MeasuresSeen](), reflect.TypeFor[map[string]engine.MeasureSeen]())
	r.RegisterTypeAlias(reflect.TypeFor[engine.Reads](), reflect.TypeFor[map[string]engine.Read]())
	r.RegisterTypeAlias(reflect.TypeFor[engine.Limit](), reflect.TypeFor[limitSchema]())
	r.RegisterTypeAlias(reflect.TypeFor[engine.Clock](), reflect.TypeFor[clockSchema]())
	r.RegisterTypeAlias(reflect.TypeFor[flight.Quantity](), reflect.TypeFor[quantitySchema]())
	return schemas{r, prefix}
}

// schemaName names a type's schema. Types of other packages carry the package
// before their name, so that a note of one is not taken for a note of another.
func schemaName(t reflect.Type, hint string) string {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	pkg := path.Base(t.PkgPath())
	name := huma.DefaultSchemaNamer(t, hint)
	if pkg == "." || pkg == "engine" || pkg == "api" || t.Name() == "" {
		return name
	}
	pkg = strings.ToUpper(pkg[:1]) + pkg[1:]
	if strings.HasPrefix(name, pkg) {
		return name
	}
	return pkg + name
}

// schemaOf is a Go type's schema.
func schemaOf[T any](r schemas) *huma.Schema {
	return r.Schema(reflect.TypeFor[T](), true, "")
}

// numberSchema: a number, or null where it is not known.
type numberSchema struct{}

// Schema is asked for by huma.
func (numberSchema) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{Type: huma.TypeNumber, Format: "double", Nullable: true}
}

// limitSchema: one of four keys, or null for a rule that is a condition.
type limitSchema struct{}

// Schema is asked for by huma.
func (limitSchema) Schema(r huma.Registry) *huma.Schema {
	two := 2
	number := func() *huma.Schema { return &huma.Schema{Type: huma.TypeNumber, Format: "double"} }
	s := &huma.Schema{Type: huma.TypeObject, Nullable: true, AdditionalProperties: false, Properties: map[string]*huma.Schema{
		"at_most": number(), "at_least": number(), "must_be": {Type: huma.TypeBoolean},
		"between": {Type: huma.TypeArray, Items: number(), MinItems: &two, MaxItems: &two},
	}}
	for key, p := range s.Properties {
		p.Title, p.Description = titleOf(key), words["limit."+key]
	}
	return s
}

// clockSchema: without an exchange only parts is there.
type clockSchema struct{}

// Schema is asked for by huma.
func (clockSchema) Schema(r huma.Registry) *huma.Schema {
	s := huma.SchemaFromType(r, reflect.TypeFor[engine.Clock]())
	s.Required = []string{"parts"}
	for key, p := range s.Properties {
		p.Title, p.Description = titleOf(key), words["clock."+key]
	}
	return s
}

// quantitySchema: the three forms of a quantity in a flight or race.
type quantitySchema struct{}

// Schema is asked for by huma.
func (quantitySchema) Schema(r huma.Registry) *huma.Schema {
	return &huma.Schema{OneOf: []*huma.Schema{
		number("In SI"),
		{Type: huma.TypeString, Description: "A number and its unit, such as 60mph"},
		object("A value with unit and standard uncertainty", need{"value", number("The value")},
			may{"u", number("Standard uncertainty, same unit")}, may{"unit", text("Unit; SI when left out")}),
		{Type: "null"},
	}}
}

// finish gives every property a title, the words it lacks, and null where a
// pointer to an object may be nil.
func finish(r schemas) {
	for name, s := range r.Map() {
		nullable(r.TypeFromRef(r.prefix+name), s)
		for key, p := range s.Properties {
			if p.Title == "" {
				p.Title = titleOf(key)
			}
			if p.Description == "" && p.Ref == "" {
				p.Description = cmp.Or(words[name+"."+key], words[key])
			}
		}
	}
}

// nullable lets null stand for a pointer to a struct that is always written.
func nullable(t reflect.Type, s *huma.Schema) {
	if t == nil || t.Kind() != reflect.Struct {
		return
	}
	for i := range t.NumField() {
		f := t.Field(i)
		key, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		p := s.Properties[key]
		if f.Type.Kind() == reflect.Pointer && f.Type.Elem().Kind() == reflect.Struct && p != nil && p.Ref != "" && !strings.Contains(options, "omitempty") {
			s.Properties[key] = &huma.Schema{Description: p.Description, AnyOf: []*huma.Schema{{Ref: p.Ref}, {Type: "null"}}}
		}
	}
}

// unitEndings are the ends of keys that name the unit of their value.
var unitEndings = []struct{ end, unit string }{{"_mps", "m/s"}, {"_s", "s"}, {"_m", "m"}, {"_cm", "cm"}, {"_deg", "degrees"}}

// titleOf makes a title out of a key: throw_speed_mps is "Throw speed, m/s".
func titleOf(key string) string {
	unit, about := "", ""
	for _, e := range unitEndings {
		if strings.HasSuffix(key, e.end) {
			key, unit = strings.TrimSuffix(key, e.end), ", "+e.unit
			break
		}
	}
	switch {
	case key == "u":
		return "Standard uncertainty" + unit
	case strings.HasPrefix(key, "u_"):
		key, about = strings.TrimPrefix(key, "u_"), "Standard uncertainty of "
	}
	key = strings.ReplaceAll(key, "_", " ")
	if about == "" && key != "" {
		key = strings.ToUpper(key[:1]) + key[1:]
	}
	return about + key + unit
}

// standalone writes one schema of the registry as a document of its own
// (JSON Schema 2020-12).
func standalone(id, name string, build func(schemas) *huma.Schema) []byte {
	r := schemasAt("#/$defs/")
	build(r)
	finish(r)
	defs := map[string]any{}
	for n, s := range r.Map() {
		defs[n] = s
	}
	root := r.Map()[name]
	delete(defs, name)
	if root.Extensions == nil {
		root.Extensions = map[string]any{}
	}
	root.Extensions["$schema"], root.Extensions["$id"], root.Extensions["$defs"] = "https://json-schema.org/draft/2020-12/schema", id, defs
	raw, err := json.Marshal(root)
	if err != nil {
		panic("api: schema is not JSON: " + err.Error())
	}
	var out bytes.Buffer
	if err := json.Indent(&out, raw, "", "  "); err != nil {
		panic("api: schema is not JSON: " + err.Error())
	}
	return append(out.Bytes(), '\n')
}

// ObservationSchema is the JSON Schema (2020-12) of an observation document.
func ObservationSchema() []byte {
	return standalone("urn:rootcue:observation", "Observation", observationSchema)
}

// AssessmentSchema is the JSON Schema (2020-12) of an assessment document.
func AssessmentSchema() []byte {
	return standalone("urn:rootcue:assessment", "Assessment", assessmentSchema)
}

func assessmentSchema(r schemas) *huma.Schema { return schemaOf[engine.Assessment](r) }
