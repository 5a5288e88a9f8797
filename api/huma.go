package api

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humagin"
	"github.com/gin-gonic/gin"
	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
	jsonv1 "github.com/go-json-experiment/json/v1"
)

// newHuma puts huma on a gin router: strict JSON in and out, our own document
// and reference pages, HEAD wherever there is GET.
func newHuma(router *gin.Engine, r schemas) huma.API {
	document := &huma.OpenAPI{
		OpenAPI: "3.1.0",
		Info:    &huma.Info{Title: "rootcue", Version: "1", Description: documentIntro},
		Servers: []*huma.Server{{URL: "/"}},
		Tags:    documentTags,
		Components: &huma.Components{
			Schemas: r.Registry,
			SecuritySchemes: map[string]*huma.SecurityScheme{
				"key": {Type: "http", Scheme: "bearer", Description: "A club's key, made with rootcue key add. Roles: read, submit, edit, admin."},
			},
		},
	}
	format := huma.Format{Marshal: writeJSON, Unmarshal: readJSON}
	config := huma.Config{OpenAPI: document, DefaultFormat: jsonType,
		Formats:      map[string]huma.Format{jsonType: format, "json": format}, // huma reads application/problem+json as json
		Transformers: []huma.Transformer{nameRequest},
	}
	return huma.NewAPI(config, headAdapter{humagin.New(router, huma.Config{}).Adapter()})
}

// jsonOptions write the same bytes for the same value, and no HTML escapes. What
// a problem quotes of a request may be no UTF-8: U+FFFD stands in its place.
var jsonOptions = json.JoinOptions(json.Deterministic(true), jsontext.AllowInvalidUTF8(true), jsonv1.OmitEmptyWithLegacySemantics(true))

func writeJSON(w io.Writer, v any) error {
	return json.MarshalWrite(w, v, jsonOptions)
}

// readJSON is strict: a repeated name, bad UTF-8 or a second value is an error.
func readJSON(data []byte, v any) error {
	err := json.Unmarshal(data, v, json.RejectUnknownMembers(true), jsontext.AllowDuplicateNames(false), json.WithUnmarshalers(hugeNumbers))
	var torn *jsontext.SyntacticError
	var odd *json.SemanticError
	switch {
	case errors.As(err, &torn):
		return fmt.Errorf("%w after byte %d", torn.Err, torn.ByteOffset)
	case errors.As(err, &odd):
		return errors.New(misfit + string(odd.JSONPointer))
	}
	return err
}

// misfit starts the message on a value that passed its schema and does not fit
// all the same; the rest is its JSON Pointer.
const misfit = "a value that does not fit at "

// huge is a number beyond all floats: good JSON, and no number to any schema.
type huge string

var hugeNumbers = json.UnmarshalFromFunc(func(d *jsontext.Decoder, v *any) error {
	if d.PeekKind() != '0' {
		return errors.ErrUnsupported
	}
	t, err := d.ReadToken()
	if err != nil {
		return err
	}
	x, err := strconv.ParseFloat(t.String(), 64)
	if *v = x; err != nil {
		*v = huge(t.String())
	}
	return nil
})

// nameRequest puts the request's id into a problem, its header fields into the
// answer and its cause into the log. Huma itself sends the fields only of errors
// that were problems before it saw them.
func nameRequest(ctx huma.Context, _ string, v any) (any, error) {
	p, ok := v.(*Problem)
	if !ok {
		return v, nil
	}
	named := *p
	named.RequestID = RequestID(ctx.Context())
	for name, values := range p.header {
		ctx.SetHeader(name, strings.Join(values, ", "))
	}
	if p.cause != nil {
		_ = humagin.Unwrap(ctx).Error(p.cause) // kept for the log
	}
	return &named, nil
}

// headAdapter answers HEAD where GET is answered; the answer's body is left
// out on the way.
type headAdapter struct{ huma.Adapter }

// Handle registers a route.
func (a headAdapter) Handle(op *huma.Operation, handler func(huma.Context)) {
	a.Adapter.Handle(op, handler)
	if op.Method == http.MethodGet {
		head := *op
		head.Method = http.MethodHead
		a.Adapter.Handle(&head, handler)
	}
}
