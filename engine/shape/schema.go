package shape

import (
	"bytes"
	"encoding/json"
	"math"
)

// Schema writes the shape as a JSON Schema (draft 2020-12) for editors. The
// bytes are the same each time, keys in the order of the table. With part
// set, a document that has that key is held against the shape of a change:
// nothing required, null allowed (see CheckPart); s must have a Def then.
func (s *Shape) Schema(id, part string) []byte {
	w := &schemaWriter{defs: map[string]bool{}}
	root := object{{"$schema", "https://json-schema.org/draft/2020-12/schema"}, {"$id", id}}
	if part == "" {
		root = append(root, w.body(s)...)
	} else {
		full := w.schema(s)
		w.part = true
		root = append(root, object{{"if", object{{"required", []string{part}}}}, {"then", w.schema(s)}, {"else", full}}...)
	}
	if len(w.order) > 0 {
		root = append(root, member{"$defs", w.order})
	}
	var out bytes.Buffer
	if err := json.Indent(&out, root.json(), "", "  "); err != nil {
		panic("shape: schema is not JSON: " + err.Error())
	}
	out.WriteByte('\n')
	return out.Bytes()
}

type schemaWriter struct {
	part  bool // writing shapes of a change
	defs  map[string]bool
	order object
}

// schema gives a value's schema: a reference where the shape has a name.
func (w *schemaWriter) schema(s *Shape) object {
	if s.def == "" {
		return w.nullable(w.body(s))
	}
	name := s.def
	if w.part {
		name += "-change"
	}
	if !w.defs[name] {
		w.defs[name] = true
		at := len(w.order)
		w.order = append(w.order, member{name, nil})
		w.order[at].value = w.nullable(w.body(s))
	}
	return object{{"$ref", "#/$defs/" + name}}
}

// nullable lets null stand for the value, in a change.
func (w *schemaWriter) nullable(o object) object {
	if !w.part {
		return o
	}
	for i, m := range o {
		switch words, is := m.value.([]string); {
		case m.name == "type":
			o[i].value = []any{m.value, "null"} // the other keywords do not touch null
			return o
		case m.name == "enum" && is:
			with := make([]any, 0, len(words)+1)
			for _, word := range words {
				with = append(with, word)
			}
			o[i].value = append(with, nil)
			return o
		case m.name == "anyOf":
			o[i].value = append(m.value.([]object), object{{"type", "null"}})
			return o
		}
	}
	return o
}

func (w *schemaWriter) body(s *Shape) object {
	var o object
	if s.title != "" {
		o = append(o, member{"title", s.title})
	}
	if s.text != "" {
		o = append(o, member{"description", s.text})
	}
	switch s.kind {
	case textKind:
		o = append(o, member{"type", "string"}, member{"pattern", `\S`})
		if s.pattern != nil {
			o[len(o)-1].value = s.pattern.String()
		}
	case boolKind:
		o = append(o, member{"type", "boolean"})
	case numberKind:
		o = append(o, numberSchema(s)...)
	case enumKind:
		o = append(o, member{"enum", s.words})
	case listKind:
		o = append(o, w.list(s)...)
	case mapKind:
		o = append(o, w.object(s)...)
	case oneOfKind:
		each := make([]object, len(s.oneOf), len(s.oneOf)+1)
		for i, alt := range s.oneOf {
			each[i] = w.schema(alt)
		}
		o = append(o, member{"anyOf", each})
	}
	return o
}

func numberSchema(s *Shape) object {
	o := object{{"type", "number"}}
	if s.whole {
		o[0].value = "integer"
	}
	if !math.IsInf(s.lo, -1) {
		o = append(o, member{"minimum", s.lo})
	}
	if !math.IsInf(s.hi, 1) {
		o = append(o, member{"maximum", s.hi})
	}
	return o
}

func (w *schemaWriter) list(s *Shape) object {
	o := object{{"type", "array"}, {"items", w.schema(s.item)}}
	if s.least > 0 {
		o = append(o, member{"minItems", s.least})
	}
	if s.most > 0 {
		o = append(o, member{"maxItems", s.most})
	}
	return o
}

func (w *schemaWriter) object(s *Shape) object {
	o := object{{"type", "object"}}
	var properties object
	var required []string
	for _, k := range s.keys {
		v := object{{"title", k.Title}, {"description", k.Description}}
		properties = append(properties, member{k.Name, append(v, w.schema(k.Shape)...)})
		if k.Required && !w.part {
			required = append(required, k.Name)
		}
	}
	if len(properties) > 0 {
		o = append(o, member{"properties", properties})
	}
	if len(required) > 0 {
		o = append(o, member{"required", required})
	}
	if len(s.some) > 0 && !w.part {
		each := make([]object, len(s.some))
		for i, key := range s.some {
			each[i] = object{{"required", []string{key}}}
		}
		o = append(o, member{"anyOf", each})
	}
	if s.free == nil {
		return append(o, member{"additionalProperties", false})
	}
	if s.least > 0 {
		o = append(o, member{"minProperties", s.least})
	}
	if s.most > 0 {
		o = append(o, member{"maxProperties", s.most})
	}
	return append(o, member{"propertyNames", object{{"pattern", s.freeKey.Pattern.String()}}}, member{"additionalProperties", w.schema(s.free)})
}

// An object is a JSON object whose members keep their order.
type object []member

type member struct {
	name  string
	value any
}

func (o object) json() []byte {
	b, err := o.MarshalJSON()
	if err != nil {
		panic("shape: " + err.Error())
	}
	return b
}

// MarshalJSON writes the members in their order.
func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	err := write(&b, o)
	return b.Bytes(), err
}

// write puts a value, of objects each member, straight into the one buffer: a
// Marshaler's bytes would be gone over once more at every level.
func write(b *bytes.Buffer, value any) error {
	switch v := value.(type) {
	case object:
		b.WriteByte('{')
		for i, m := range v {
			if i > 0 {
				b.WriteByte(',')
			}
			if err := write(b, m.name); err != nil {
				return err
			}
			b.WriteByte(':')
			if err := write(b, m.value); err != nil {
				return err
			}
		}
		b.WriteByte('}')
		return nil
	case []object:
		return writeList(b, v)
	case []any:
		return writeList(b, v)
	}
	text, err := json.Marshal(value)
	b.Write(text)
	return err
}

func writeList[T any](b *bytes.Buffer, list []T) error {
	b.WriteByte('[')
	for i, v := range list {
		if i > 0 {
			b.WriteByte(',')
		}
		if err := write(b, v); err != nil {
			return err
		}
	}
	b.WriteByte(']')
	return nil
}
