package api

import (
	"cmp"
	"context"
	"maps"
	"net/http"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"
)

// A Route declares one operation: where it is, who may call it and what the
// OpenAPI document says of it.
type Route struct {
	Method, Path string
	ID           string // operation id: stable, and the name of its example files
	Tag          string // the chapter of the reference it stands in
	Summary      string // one line
	Description  string
	Role         Role              // the least role that may call it
	Body         *Form             // of a body that the handler reads itself; nil: there is none, or huma reads it
	Answer       *Form             // of an answer that the handler writes itself; nil: huma writes it as JSON
	Status       int               // of a good answer, 200 when left out
	MaxBody      int64             // bytes after decompression, MaxBody when left out
	Examples     map[string][]byte // further bodies to try, in JSON, by name
	Also         []Kind
	Replayable   bool // a write that takes Idempotency-Key
	Stream       *Stream
	Deprecated   *Deprecation
	Unlimited    bool // not counted against a rate: probes and the pages of the reference

	accepts, answers []string // media types of bodies and of good answers
}

// A Stream says which bodies are answered while they are read. What repeats in
// them is known by its content, so that Idempotency-Key has nothing to keep.
type Stream struct {
	Types   []string // media types
	MaxBody int64    // bytes after decompression
}

// streams reports whether a request's body is answered while it is read.
func (r *Route) streams(c *gin.Context) bool {
	return r.Stream != nil && slices.Contains(r.Stream.Types, baseType(c.GetHeader("Content-Type")))
}

// maxBody is how large the body of a request may be.
func (r *Route) maxBody(c *gin.Context) int64 {
	if r.streams(c) {
		return r.Stream.MaxBody
	}
	return r.MaxBody
}

// A Form says what a body written or read as bytes may be.
type Form struct {
	Schema func(schemas) *huma.Schema
	Types  []string // media types, the preferred first
}

// Typed is the form of a Go type, in JSON.
func Typed[T any]() *Form {
	return &Form{func(r schemas) *huma.Schema { return schemaOf[T](r) }, []string{jsonType}}
}

// Text is the form of a text in any of some media types.
func Text(types ...string) *Form {
	return &Form{func(schemas) *huma.Schema { return &huma.Schema{Type: huma.TypeString} }, types}
}

// Media types.
const (
	jsonType    = "application/json"
	openapiType = "application/openapi+json"
	ndjsonType  = "application/x-ndjson"
	csvType     = "text/csv"
	yamlType    = "application/yaml" // RFC 9512
	htmlType    = "text/html; charset=utf-8"
	plainType   = "text/plain; charset=utf-8"
)

// A Raw is a request whose body the handler reads itself.
type Raw struct {
	RawBody []byte
}

// None is a request without body and parameters.
type None struct{}

// A Written is an answer that is bytes already.
type Written struct {
	ContentType string `header:"Content-Type" hidden:"true"`
	ETag        string `header:"ETag" hidden:"true"`
	Policy      string `header:"Content-Security-Policy" hidden:"true"` // of a page
	Lang        string `header:"Content-Language" hidden:"true"`
	Body        []byte
}

// An Answer is written as JSON.
type Answer[T any] struct {
	Body T
}

// Add registers a route. I and O are what huma reads parameters into and
// writes headers from: see huma.Register.
func Add[I, O any](s *Server, r Route, handle func(context.Context, *I) (*O, error)) {
	r.Status, r.MaxBody = cmp.Or(r.Status, http.StatusOK), cmp.Or(r.MaxBody, MaxBody)
	op := huma.Operation{
		Method: r.Method, Path: r.Path, OperationID: r.ID, Tags: []string{r.Tag}, Summary: r.Summary, Description: r.Description,
		DefaultStatus: r.Status, MaxBodyBytes: -1, BodyReadTimeout: bodyTime, RejectUnknownQueryParameters: true,
		RequestBody: &huma.RequestBody{}, Responses: map[string]*huma.Response{},
		Extensions:  map[string]any{"x-role": r.Role.String()},
		Metadata:    map[string]any{"schemas": s.schemas},
		Middlewares: huma.Middlewares{s.admit(&r)},
	}
	if r.Deprecated != nil {
		r.Deprecated.describe(&op)
	}
	if r.Role > Open {
		op.Security = []map[string][]string{{"key": {}}}
	}
	body, responses := op.RequestBody, op.Responses
	if !readsBody[I]() {
		op.RequestBody = nil
	}
	huma.Register(s.huma, op, handle)
	if r.Body != nil {
		operationOf(s.huma.OpenAPI(), &r).RequestBody = body
	}
	s.describe(&r, body, responses)
	s.Routes = append(s.Routes, &r)
}

// readsBody reports whether huma hands a body to a handler of that input.
func readsBody[I any]() bool {
	t := reflect.TypeFor[I]()
	_, parsed := t.FieldByName("Body")
	_, raw := t.FieldByName("RawBody")
	return parsed || raw
}

// describe fills in what huma cannot know: bodies read and written as bytes,
// errors and examples.
func (s *Server) describe(r *Route, body *huma.RequestBody, responses map[string]*huma.Response) {
	if r.Body != nil {
		body.Required, body.Content = true, content(s.schemas, r.Body)
	}
	delete(responses, "default")
	good := responses[strconv.Itoa(r.Status)]
	if r.Answer != nil {
		good.Content = content(s.schemas, r.Answer)
	}
	putExamples(r.ID+".request", body.Content)
	putFurther(r.Examples, body.Content[jsonType])
	putExamples(r.ID+".answer", good.Content)
	for _, kind := range r.kinds(body) {
		describeProblem(s.schemas, kind, responses)
	}
	for _, p := range operationOf(s.huma.OpenAPI(), r).Parameters {
		if p.Example == nil && p.Schema != nil && len(p.Schema.Examples) > 0 {
			p.Example = p.Schema.Examples[0]
		}
	}
	r.accepts, r.answers = keysOf(body.Content, r.Body), keysOf(good.Content, r.Answer)
}

// content is a form's media types with their schema. YAML and HTML are texts.
func content(r schemas, f *Form) map[string]*huma.MediaType {
	out := map[string]*huma.MediaType{}
	for _, t := range f.Types {
		schema := &huma.Schema{Type: huma.TypeString}
		if strings.Contains(t, "json") && t != ndjsonType {
			schema = f.Schema(r)
		}
		out[t] = &huma.MediaType{Schema: schema}
	}
	return out
}

// keysOf lists media types, in the order of the form if there is one.
func keysOf(c map[string]*huma.MediaType, f *Form) []string {
	if f != nil {
		return f.Types
	}
	return slices.Sorted(maps.Keys(c))
}

// kinds lists the problems an operation can answer with.
func (r *Route) kinds(body *huma.RequestBody) []Kind {
	kinds := []Kind{NotAccepted, NotValid, Internal}
	if len(body.Content) > 0 {
		kinds = append(kinds, NotJSON, Timeout, TooLarge, BadMedia)
	}
	if r.Role > Open {
		kinds = append(kinds, NoKey, RoleTooSmall)
	}
	if !r.Unlimited {
		kinds = append(kinds, TooMany, Unavailable)
	}
	if strings.Contains(r.Path, "{") {
		kinds = append(kinds, NotFound)
	}
	if r.Replayable {
		kinds = append(kinds, InFlight, KeyReused)
	}
	return append(kinds, r.Also...)
}
