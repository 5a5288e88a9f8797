package api

import (
	"context"

	"rootcue/engine/place"
	"rootcue/engine/practice"
)

func (s *Server) planRoutes() {
	Add(s, Route{
		Method: "POST", Path: "/v1/plan", ID: "plan", Tag: "Judge", Summary: "One plan for a group's practice",
		Description: "Who does which drill in which turn, so that the whole group gains most within places, helpers and what each arm may still throw. A player's gains are stated outright, or follow from an assessment given as a document. Nothing is kept.",
		Body:        &Form{practiceSchema, []string{jsonType, yamlType}},
	}, s.plan)
}

type planInput struct {
	Raw
	ContentType string `header:"Content-Type" hidden:"true"`
}

func (s *Server) plan(_ context.Context, in *planInput) (*Answer[practice.Plan], error) {
	body, pointed := in.RawBody, func(slips []place.Problem) []place.Problem { return slips }
	if baseType(in.ContentType) != yamlType {
		doc, err := readFlat(body)
		if err != nil {
			return nil, err
		}
		body, pointed = doc, doc.pointed
	}
	d, slips := practice.Read("", body)
	if d != nil {
		for _, source := range d.Sources {
			slips = append(slips, source.Problem("no-file", "the name of a file, "+source.Name, "the assessment document itself", "the server reads no files for a practice"))
		}
	}
	if place.Failed(slips) {
		return nil, Refused(pointed(slips))
	}
	return &Answer[practice.Plan]{practice.Make(d.Practice)}, nil
}
