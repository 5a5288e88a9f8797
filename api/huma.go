package api

import (
	"io"
	"net/http"

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

// jsonOptions write the same bytes for the same value, and no HTML escapes.
var jsonOptions = json.JoinOptions(json.Deterministic(true), jsonv1.OmitEmptyWithLegacySemantics(true))

func writeJSON(w io.Writer, v any) error {
	return json.MarshalWrite(w, v, jsonOptions)
}

// readJSON is strict: a repeated name, bad UTF-8 or a second value is an error.
func readJSON(data []byte, v any) error {
	return json.Unmarshal(data, v, json.RejectUnknownMembers(true), jsontext.AllowDuplicateNames(false))
}

// nameRequest puts the request's id into a problem and its cause into the log.
func nameRequest(ctx huma.Context, _ string, v any) (any, error) {
	p, ok := v.(*Problem)
	if !ok {
		return v, nil
	}
	named := *p
	named.RequestID = RequestID(ctx.Context())
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
