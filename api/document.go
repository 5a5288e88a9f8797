package api

import (
	"bytes"
	"context"
	"embed"
	"encoding/json"
	"strconv"
	"strings"

	"github.com/danielgtaylor/huma/v2"
)

const documentIntro = "rootcue judges what a catching instructor saw against the club's own rubrics: which faults are there, which one starts the others, what that costs on the clock and what to work on first.\n\n" +
	"Send one JSON document in UTF-8, plain or with `Content-Encoding: gzip`. Every error is `application/problem+json` (RFC 9457) with a stable `type`, explained on the page it names, and `errors[]` with the place, what was found, what was wanted and what to do. " +
	"A path that is not listed answers 404, a method that a path does not take 405 with `Allow`. Reads give `ETag` and take `If-None-Match`. `X-Request-Id` is taken over from the request, or made.\n\n" +
	"Numbers are rounded to 7 decimals; `u` is a standard uncertainty (one standard deviation) in the unit of its value. null means not seen or not known, never zero.\n\n" +
	"This is coaching information, not medical advice, and clears nobody to play: league rules, the governing body's limits and a licensed clinician or athletic trainer come first."

var documentTags = []*huma.Tag{
	{Name: "Judge", Description: "A document in, the answer out; nothing is kept."},
	{Name: "Rubrics", Description: "What observations are judged by."},
	{Name: "Observations", Description: "What evaluators saw, and what came of it."},
	{Name: "Players", Description: "Known by the club's own references."},
	{Name: "Groups", Description: "Players who practise together, and one plan for all."},
	{Name: "Review", Description: "The instructor's word, and what a family reads."},
	{Name: "Progress", Description: "What changed for a player, and what was handed out."},
	{Name: "Workload", Description: "The arm ledger, and what the rules in force allow."},
	{Name: "Club", Description: "What a club decides for itself."},
	{Name: "Webhooks", Description: "Being told when something happens."},
	{Name: "Access", Description: "Keys, and the log of who changed what."},
	{Name: "Operation", Description: "For whoever runs the server."},
	{Name: "Reference", Description: "This document and its pages."},
}

func (s *Server) documentRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/openapi.json", ID: "openapi", Tag: "Reference", Summary: "This document", Unlimited: true,
		Description: "The OpenAPI 3.1 document of this server.",
		Answer:      &Form{func(schemas) *huma.Schema { return mapOf("An OpenAPI document", &huma.Schema{}) }, []string{jsonType, openapiType}},
	}, s.readOpenAPI)
}

func (s *Server) readOpenAPI(context.Context, *None) (*Written, error) {
	return &Written{ContentType: jsonType, Body: s.openapi()}, nil
}

// document writes the OpenAPI document, the same bytes each time.
func (s *Server) document() []byte {
	finish(s.schemas)
	raw, err := json.Marshal(s.huma.OpenAPI())
	if err != nil {
		panic("api: the OpenAPI document is not JSON: " + err.Error())
	}
	var out bytes.Buffer
	if err := json.Indent(&out, raw, "", " "); err != nil {
		panic("api: the OpenAPI document is not JSON: " + err.Error())
	}
	out.WriteByte('\n')
	return out.Bytes()
}

// examples holds, by operation id, the body of a request and its answer.
//
//go:embed examples
var examples embed.FS

// Example gives an example's bytes: of "assess.request" or "assess.answer", in
// a media type.
func Example(name, mediaType string) ([]byte, bool) {
	b, err := examples.ReadFile("examples/" + name + endingOf(mediaType))
	return b, err == nil
}

func endingOf(mediaType string) string {
	switch {
	case mediaType == ndjsonType:
		return ".ndjson"
	case strings.Contains(mediaType, "json"):
		return ".json"
	case strings.Contains(mediaType, "yaml"):
		return ".yaml"
	case mediaType == csvType:
		return ".csv"
	}
	return ".txt"
}

// putExamples shows an example file beside each media type.
func putExamples(name string, content map[string]*huma.MediaType) {
	for t, m := range content {
		b, ok := Example(name, t)
		switch {
		case ok && strings.Contains(t, "json") && t != ndjsonType:
			m.Example = json.RawMessage(b)
		case ok:
			m.Example = string(b)
		}
	}
}

// putFurther shows named examples beside the first.
func putFurther(further map[string][]byte, m *huma.MediaType) {
	if len(further) == 0 {
		return
	}
	m.Examples = map[string]*huma.Example{"example": {Summary: "An example", Value: m.Example}}
	m.Example = nil // either one or several (OpenAPI 3.1, 4.8.14)
	for name, b := range further {
		m.Examples[name] = &huma.Example{Summary: name, Value: json.RawMessage(b)}
	}
}

// describeProblem adds a kind of problem to an operation's responses, with an
// example. Kinds of one status stand together.
func describeProblem(r schemas, k Kind, responses map[string]*huma.Response) {
	status := strconv.Itoa(k.Status)
	res := responses[status]
	if res == nil || res.Content[problemType] == nil {
		res = &huma.Response{Content: map[string]*huma.MediaType{problemType: {Schema: schemaOf[Problem](r), Examples: map[string]*huma.Example{}}}}
		responses[status] = res
	}
	if res.Content[problemType].Examples[k.Name] != nil {
		return
	}
	if res.Description != "" {
		res.Description += "; or "
	}
	res.Description += k.Title
	example := k.Say("%s", k.Title)
	if slip, ok := exampleSlips[k.Name]; ok {
		example.Errors, example.Detail = []Slip{slip}, sentence(slip)
	}
	res.Content[problemType].Examples[k.Name] = &huma.Example{Summary: k.Title, Value: example}
}
