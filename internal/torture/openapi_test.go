package torture_test

import (
	"encoding/json"
	"slices"
	"strings"
)

// An operation is one of the OpenAPI document.
type operation struct {
	id, role     string
	method, path string
	parameters   []parameter
	bodies       map[string][]string // examples by media type
}

type parameter struct {
	Name, In string
	Schema   struct {
		Type, Format string
		Enum         []string
	}
	Example any
}

// operations reads them from the server's own document, in order.
func operations(s *server) (out []operation) {
	s.t.Helper()
	var doc struct {
		Paths map[string]map[string]struct {
			OperationID string
			Role        string `json:"x-role"`
			Parameters  []parameter
			RequestBody struct {
				Content map[string]struct {
					Example  json.RawMessage
					Examples map[string]struct{ Value json.RawMessage }
				}
			}
		}
	}
	s.must(request{method: "GET", path: "/openapi.json"}, 200, &doc)
	for path, methods := range doc.Paths {
		for method, o := range methods {
			op := operation{id: o.OperationID, role: o.Role, method: strings.ToUpper(method), path: path, parameters: o.Parameters, bodies: map[string][]string{}}
			for media, c := range o.RequestBody.Content {
				op.bodies[media] = nil
				for _, e := range c.Examples {
					op.bodies[media] = append(op.bodies[media], text(e.Value))
				}
				if c.Example != nil {
					op.bodies[media] = append(op.bodies[media], text(c.Example))
				}
				slices.Sort(op.bodies[media])
			}
			out = append(out, op)
		}
	}
	slices.SortFunc(out, func(a, b operation) int { return strings.Compare(a.path+a.method, b.path+b.method) })
	if len(out) < 50 {
		s.t.Fatalf("the OpenAPI document has %d operations", len(out))
	}
	return out
}

// text is an example as it is sent: a string stands for a body that is no JSON.
func text(raw json.RawMessage) string {
	var s string
	if json.Unmarshal(raw, &s) == nil {
		return s
	}
	return string(raw)
}
