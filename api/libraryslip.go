package api

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/validation"

	"rootcue/engine/place"
)

// The HTTP library asks for its errors here, so that they too have the one
// shape. It offers only these package variables for it.
func init() {
	huma.DefaultArrayNullable = false // lists are never null
	huma.ValidateStrictCasing = true
	validation.MsgExpectedMinLength = "expected a text of %d or more characters"
	validation.MsgExpectedMaxLength = "expected a text of at most %d characters"
	validation.MsgExpectedMinItems = "expected a list of %d or more"
	validation.MsgExpectedMaxItems = "expected a list of at most %d"
	validation.MsgExpectedMinimumNumber = "expected a number of %v or more"
	validation.MsgExpectedMaximumNumber = "expected a number of at most %v"
	validation.MsgExpectedRFC3339Date = "expected a date such as 2026-05-09"
	huma.NewError = func(status int, detail string, errs ...error) huma.StatusError {
		return libraryProblem(nil, status, detail, errs)
	}
	huma.NewErrorWithContext = func(ctx huma.Context, status int, detail string, errs ...error) huma.StatusError {
		return libraryProblem(ctx.Operation(), status, detail, errs)
	}
}

// libraryProblem is the problem for what the library found wrong.
func libraryProblem(op *huma.Operation, status int, detail string, errs []error) *Problem {
	switch {
	case status == http.StatusInternalServerError:
		return failed(errors.Join(errs...))
	case status == http.StatusBadRequest && len(errs) == 0:
		return NotJSON.At(Slip{Code: "not-json", Found: "an empty body", Wanted: "a document in the form of the operation"})
	case status == http.StatusBadRequest:
		var d *huma.ErrorDetail
		if errors.As(errs[0], &d) {
			return NotJSON.At(Slip{Code: "not-json", Found: d.Message, Wanted: "one JSON document in UTF-8"})
		}
	}
	p := kindOf(status).Say("%s", detail)
	for _, err := range errs {
		p.Errors = append(p.Errors, librarySlip(op, err))
	}
	if len(p.Errors) > 0 {
		p.Detail = sentence(p.Errors[0])
	}
	return p
}

// unread is what was wanted where the library says only what it could not read.
var unread = map[string]string{"invalid integer": "a whole number", "invalid float": "a number", "invalid boolean": "true or false"}

// librarySlip is one slip in a parameter or in a body the library validated.
func librarySlip(op *huma.Operation, err error) Slip {
	var d *huma.ErrorDetail
	if !errors.As(err, &d) {
		return Slip{Code: "not-valid", Found: err.Error(), Wanted: "a valid request"}
	}
	if at, ok := strings.CutPrefix(d.Message, misfit); ok {
		return Slip{Code: "wrong-type", Pointer: at, Found: "a value that does not fit", Wanted: "a value by the operation's schema"}
	}
	s := Slip{Code: "not-valid", Found: shown(d.Value), Wanted: cmp.Or(unread[d.Message], strings.TrimPrefix(d.Message, "expected "))}
	where, rest, within := strings.Cut(d.Location, ".")
	if strings.HasPrefix(d.Message, "required ") && strings.HasSuffix(d.Message, " parameter is missing") {
		s.Found, s.Wanted = "nothing", "a value for "+rest
	}
	if where == "body" && within {
		s.Pointer = pointerOf(rest)
	} else if where == "body" {
		s.Pointer = ""
	} else {
		s.Parameter = d.Location
	}
	var missing string
	if n, _ := fmt.Sscanf(d.Message, validation.MsgExpectedRequiredProperty, &missing); n == 1 {
		s.Code, s.Found, s.Wanted = "missing-key", "no "+strconv.Quote(missing), strconv.Quote(missing)+" here"
	}
	if d.Message == validation.MsgUnexpectedProperty {
		key := rest[strings.LastIndexByte(rest, '.')+1:]
		known := knownKeys(op, s.Pointer)
		s.Code, s.Found, s.Wanted, s.Hint = "unknown-key", "the key "+strconv.Quote(key), "one of "+place.List(known), didYouMean(key, known)
	}
	if d.Message == "unknown query parameter" {
		s.Code, s.Found, s.Wanted, s.Hint = "unknown-parameter", "the parameter "+strconv.Quote(rest), "no such parameter", ""
		if known := queryOf(op); len(known) > 0 {
			s.Wanted, s.Hint = "one of "+place.List(known), didYouMean(rest, known)
		}
	}
	return s
}

func queryOf(op *huma.Operation) (names []string) {
	if op == nil {
		return nil
	}
	for _, p := range op.Parameters {
		if p.In == "query" {
			names = append(names, p.Name)
		}
	}
	return names
}

// knownKeys are the keys that the object around a pointer may have.
func knownKeys(op *huma.Operation, pointer string) []string {
	if op == nil || op.RequestBody == nil || op.RequestBody.Content[jsonType] == nil {
		return nil
	}
	r, _ := op.Metadata["schemas"].(schemas)
	s := op.RequestBody.Content[jsonType].Schema
	parts := strings.Split(pointer, "/")
	for _, part := range parts[min(1, len(parts)-1) : len(parts)-1] {
		if s = resolved(r, s); s == nil {
			return nil
		}
		of, isMap := s.AdditionalProperties.(*huma.Schema)
		switch {
		case s.Items != nil:
			s = s.Items
		case s.Properties[part] != nil:
			s = s.Properties[part]
		case isMap:
			s = of
		default:
			return nil
		}
	}
	if s = resolved(r, s); s == nil {
		return nil
	}
	return slices.Sorted(maps.Keys(s.Properties))
}

func resolved(r schemas, s *huma.Schema) *huma.Schema {
	if s != nil && s.Ref != "" && r.Registry != nil {
		return r.SchemaFromRef(s.Ref)
	}
	return s
}

// pointerOf writes a path such as players[3].ref as a JSON Pointer; that of a
// key without letters is "/" (RFC 6901).
func pointerOf(path string) string {
	return "/" + strings.NewReplacer("~", "~0", "/", "~1", ".", "/", "[", "/", "]", "").Replace(path)
}

func shown(v any) string {
	text := fmt.Sprintf("%v", v)
	switch t := v.(type) {
	case nil:
		return "nothing"
	case string:
		text = fmt.Sprintf("the text %q", t)
	case map[string]any:
		return "an object"
	case []any:
		return "a list"
	}
	if len(text) > 80 {
		text = text[:80] + "…"
	}
	return text
}
