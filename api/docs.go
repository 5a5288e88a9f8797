package api

import (
	"bytes"
	"cmp"
	"context"
	"embed"
	"encoding/json"
	"fmt"
	"html/template"
	"maps"
	"path"
	"slices"
	"strings"
	"sync"

	"github.com/danielgtaylor/huma/v2"
)

//go:embed pages/docs.html
var docsPage embed.FS

//go:embed static
var static embed.FS

// pagePolicy lets a page use nothing but this server's own files.
const pagePolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'"

func (s *Server) docsRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/docs", ID: "docs", Tag: "Reference", Summary: "The reference, for people", Unlimited: true,
		Description: "Every operation with its roles, bodies, answers and errors, and a form to try it. It needs nothing from outside this server.",
		Answer:      Text("text/html"),
	}, s.readDocs)
	Add(s, Route{
		Method: "GET", Path: "/static/{file}", ID: "static", Tag: "Reference", Summary: "Styles and scripts of the pages", Unlimited: true,
		Answer: Text("text/css", "text/javascript", "image/svg+xml"),
	}, s.readStatic)
}

func (s *Server) readDocs(context.Context, *None) (*Written, error) {
	body, err := s.docs()
	return &Written{ContentType: htmlType, Policy: pagePolicy, Lang: "en", Body: body}, err
}

func (s *Server) readStatic(_ context.Context, in *struct {
	File string `path:"file" doc:"The file's name" example:"docs.css"`
}) (*Written, error) {
	b, err := static.ReadFile("static/" + in.File)
	if err != nil {
		return nil, NotFound.At(Slip{Code: "not-found", Parameter: "path.file", Found: "no such file", Wanted: "a file that a page names, such as docs.css"})
	}
	return &Written{ContentType: staticTypes[path.Ext(in.File)], Body: b}, nil
}

// staticTypes are the media types of the files in static.
var staticTypes = map[string]string{".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".svg": "image/svg+xml"}

// onceDocs renders the reference when it is first asked for.
func (s *Server) onceDocs() func() ([]byte, error) {
	return sync.OnceValues(func() ([]byte, error) {
		s.openapi() // completes the schemas
		page, err := template.New("docs.html").Funcs(template.FuncMap{"paragraphs": paragraphs, "lines": lines}).ParseFS(docsPage, "pages/docs.html")
		if err != nil {
			return nil, err
		}
		var out bytes.Buffer
		err = page.Execute(&out, s.reference())
		return out.Bytes(), err
	})
}

// A reference is what the page shows.
type reference struct {
	Intro    string
	Chapters []chapter
	Schemas  []schemaTable
	Kinds    []Kind
}

type chapter struct {
	Name, Says string
	Operations []operation
}

type operation struct {
	*Route
	*huma.Operation
	Bodies, Answers []media
	Statuses        []status
}

type media struct {
	Type, Schema, Link, Example string
	Further                     []bodyToTry
}

type bodyToTry struct{ Name, Text string }

type status struct {
	Code, Says string
	Problems   bool
}

type schemaTable struct {
	Name, Says, Type string
	Rows             []schemaRow
}

type schemaRow struct {
	Key, Type, Link, Says string
	Required              bool
}

func (s *Server) reference() reference {
	document := s.huma.OpenAPI()
	ref := reference{Intro: document.Info.Description, Kinds: Kinds}
	for _, tag := range document.Tags {
		c := chapter{Name: tag.Name, Says: tag.Description}
		for _, r := range s.Routes {
			if r.Tag == tag.Name {
				c.Operations = append(c.Operations, s.operation(r, operationOf(document, r)))
			}
		}
		ref.Chapters = append(ref.Chapters, c)
	}
	all := s.schemas.Map()
	for _, name := range slices.Sorted(maps.Keys(all)) {
		ref.Schemas = append(ref.Schemas, tableOf(name, all[name]))
	}
	return ref
}

func operationOf(document *huma.OpenAPI, r *Route) *huma.Operation {
	item := document.Paths[r.Path]
	return map[string]*huma.Operation{"GET": item.Get, "POST": item.Post, "PUT": item.Put, "PATCH": item.Patch, "DELETE": item.Delete}[r.Method]
}

func (s *Server) operation(r *Route, op *huma.Operation) operation {
	o := operation{Route: r, Operation: op}
	if op.RequestBody != nil {
		o.Bodies = mediaOf(op.RequestBody.Content, r.accepts)
	}
	for _, code := range slices.Sorted(maps.Keys(op.Responses)) {
		res := op.Responses[code]
		if code < "300" {
			o.Answers = mediaOf(res.Content, r.answers)
		}
		o.Statuses = append(o.Statuses, status{code, res.Description, res.Content[problemType] != nil})
	}
	return o
}

func mediaOf(content map[string]*huma.MediaType, order []string) (list []media) {
	for _, t := range order {
		m := media{Type: t}
		if c := content[t]; c != nil {
			m.Schema, m.Link = typeOf(c.Schema)
			m.Example = exampleText(c.Example)
			for _, name := range slices.Sorted(maps.Keys(c.Examples)) {
				m.Further = append(m.Further, bodyToTry{c.Examples[name].Summary, exampleText(c.Examples[name].Value)})
				if name == "example" {
					m.Example = exampleText(c.Examples[name].Value)
				}
			}
		}
		list = append(list, m)
	}
	return list
}

func exampleText(v any) string {
	switch e := v.(type) {
	case json.RawMessage:
		return strings.TrimSpace(string(e))
	case string:
		return strings.TrimSpace(e)
	}
	return ""
}

func tableOf(name string, s *huma.Schema) schemaTable {
	t := schemaTable{Name: name, Says: s.Description}
	t.Type, _ = typeOf(s)
	for _, key := range slices.Sorted(maps.Keys(s.Properties)) {
		p := s.Properties[key]
		row := schemaRow{Key: key, Says: p.Description, Required: slices.Contains(s.Required, key)}
		row.Type, row.Link = typeOf(p)
		t.Rows = append(t.Rows, row)
	}
	return t
}

// typeOf says in words what a value may be, with the name of a schema to look
// at where there is one.
func typeOf(s *huma.Schema) (words, link string) {
	switch {
	case s == nil:
		return "anything", ""
	case s.Ref != "":
		name := s.Ref[strings.LastIndex(s.Ref, "/")+1:]
		return name, name
	case len(s.Enum) > 0:
		return "one of " + strings.Trim(strings.Join(strings.Fields(fmt.Sprint(s.Enum)), ", "), "[]"), ""
	case len(s.AnyOf)+len(s.OneOf) > 0:
		var each []string
		for _, one := range append(slices.Clone(s.AnyOf), s.OneOf...) {
			w, l := typeOf(one)
			each = append(each, w)
			link = cmp.Or(link, l)
		}
		return strings.Join(each, " or "), link
	case s.Type == huma.TypeArray:
		w, l := typeOf(s.Items)
		return "list of " + w, l
	case s.Type == huma.TypeObject && s.Properties == nil:
		if of, ok := s.AdditionalProperties.(*huma.Schema); ok {
			w, l := typeOf(of)
			return "map of " + w, l
		}
	case s.Type == "":
		return "as the file's own schema says", ""
	}
	words = map[string]string{huma.TypeObject: "object", huma.TypeString: "text", huma.TypeNumber: "number", huma.TypeInteger: "whole number", huma.TypeBoolean: "yes or no"}[s.Type]
	words = cmp.Or(words, s.Type)
	if s.Nullable {
		words += " or null"
	}
	return words, ""
}

// paragraphs turns a description into HTML: blank lines part paragraphs,
// backticks mark code.
func paragraphs(text string) template.HTML {
	var out strings.Builder
	for part := range strings.SplitSeq(text, "\n\n") {
		out.WriteString("<p>")
		for i, piece := range strings.Split(part, "`") {
			if i%2 == 1 {
				out.WriteString("<code>" + template.HTMLEscapeString(piece) + "</code>")
				continue
			}
			out.WriteString(template.HTMLEscapeString(piece))
		}
		out.WriteString("</p>")
	}
	return template.HTML(out.String()) // every piece is escaped
}

// lines is how many lines a text area needs.
func lines(text string) int { return min(max(strings.Count(text, "\n")+2, 4), 30) }
