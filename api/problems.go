package api

import (
	"bytes"
	"context"
	_ "embed"
	"html/template"
)

func (s *Server) problemRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/problems/{name}", ID: "read-problem", Tag: "Reference", Summary: "What a kind of problem means", Unlimited: true,
		Description: "The page that a problem's type leads to.",
		Answer:      Text("text/html"),
	}, s.readProblem)
}

var problemPage = template.Must(template.New("problem").Parse(`<!doctype html>
<html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{.Title}} – rootcue</title><link rel="stylesheet" href="/static/docs.css">
<main><h1>{{.Title}}</h1><p>Type <code>/problems/{{.Name}}</code>, status {{.Status}}.</p><p>{{.Help}}</p><p><a href="/docs">All operations</a></p></main></html>
`))

func (s *Server) readProblem(_ context.Context, in *struct {
	Name string `path:"name" doc:"The kind of problem" example:"not-valid"`
}) (*Written, error) {
	for _, k := range Kinds {
		if k.Name == in.Name {
			var out bytes.Buffer
			err := problemPage.Execute(&out, k)
			return &Written{ContentType: htmlType, Policy: pagePolicy, Body: out.Bytes()}, err
		}
	}
	return nil, NotFound.At(Slip{Code: "not-found", Parameter: "path.name", Found: "no such kind of problem", Wanted: "the type of a problem"})
}
