package api

import (
	"context"
	"fmt"

	"rootcue/engine"
	"rootcue/engine/place"
	"rootcue/engine/rubric"
	"rootcue/engine/shape"
)

func (s *Server) rubricRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/v1/rubrics", ID: "list-rubrics", Tag: "Rubrics", Summary: "List the rubrics",
		Role: s.clubRole(Read), Also: []Kind{NoKey, RoleTooSmall, Unavailable},
		Description: "The rubrics that observations may name, in order of their names.",
	}, s.listRubrics)
	Add(s, Route{
		Method: "GET", Path: "/v1/rubrics/{name}", ID: "read-rubric", Tag: "Rubrics", Summary: "Read a rubric",
		Role: s.clubRole(Read), Also: []Kind{NoKey, RoleTooSmall, Unavailable},
		Description: "The file as its author wrote it with `Accept: application/yaml`, comments and all, or the same as JSON. A rubric that extends another holds only what differs.",
		Answer:      &Form{rubricSchema, []string{jsonType, yamlType}},
	}, s.readRubric)
	Add(s, Route{
		Method: "POST", Path: "/v1/rubrics/check", ID: "check-rubric", Tag: "Rubrics", Summary: "Check a rubric file",
		Description: "Every problem of a rubric with file, line and column, what was found and what was wanted; its own examples are run, and what they leave untried is listed. Nothing is kept. The answer is 200 whether or not the rubric is good: see `ok`.",
		Body:        Text(yamlType, "text/yaml", "text/plain"),
	}, s.checkRubric)
}

// A RubricList lists rubrics.
type RubricList struct {
	Items []RubricInfo `json:"items" doc:"The rubrics, by name"`
	Next  *string      `json:"next" doc:"Where the list goes on; null: nowhere"`
}

// RubricInfo is a rubric in a list.
type RubricInfo struct {
	Name     string   `json:"name" doc:"The name that observations use"`
	Title    string   `json:"title" doc:"What it is called on pages"`
	Skill    string   `json:"skill" doc:"The skill it judges; empty if it names none"`
	Version  int      `json:"version" doc:"The newest version, from 1"`
	SHA256   string   `json:"sha256" doc:"Of the file, followed by the files it extends"`
	Bands    []string `json:"bands" doc:"The age bands"`
	Measures int      `json:"measures" doc:"How many measures it has"`
	Faults   int      `json:"faults" doc:"How many faults and outcomes it has"`
}

func (s *Server) listRubrics(ctx context.Context, _ *None) (*Answer[RubricList], error) {
	names, err := s.Rubrics.Names(ctx)
	list := RubricList{Items: []RubricInfo{}}
	for _, name := range names {
		p, err := s.Rubrics.Rubric(ctx, name)
		if err != nil {
			return nil, err
		}
		list.Items = append(list.Items, infoOf(p))
	}
	return &Answer[RubricList]{list}, err
}

func infoOf(p *Published) RubricInfo {
	r := p.Rubric
	info := RubricInfo{Name: r.Name, Title: r.Title, Skill: r.Skill, Version: p.Version, SHA256: r.SHA256, Bands: []string{}, Measures: len(r.Measures), Faults: len(r.Faults)}
	for _, b := range r.Bands {
		info.Bands = append(info.Bands, b.Name)
	}
	return info
}

type rubricInput struct {
	Name   string `path:"name" doc:"The rubric's name" example:"throw-to-third"`
	Accept string `header:"Accept" hidden:"true"`
}

func (s *Server) readRubric(ctx context.Context, in *rubricInput) (*Written, error) {
	p, err := s.Rubrics.Rubric(ctx, in.Name)
	if err != nil {
		return nil, err
	}
	if p == nil {
		names, err := s.Rubrics.Names(ctx)
		if err != nil {
			return nil, err
		}
		return nil, NotFound.At(Slip{Code: "unknown-rubric", Parameter: "path.name", Found: fmt.Sprintf("the rubric %q", in.Name), Wanted: place.List(names), Hint: didYouMean(in.Name, names)})
	}
	return writtenRubric(in.Accept, p.Rubric, p.Version, p.Source), nil
}

// writtenRubric writes a version in the form the caller likes best.
func writtenRubric(accept string, r *rubric.Rubric, version int, source []byte) *Written {
	if Prefer(accept, []string{jsonType, yamlType}) == yamlType {
		return &Written{ContentType: yamlType, Body: source, ETag: versionTag(version, r.SHA256, "")}
	}
	root, _ := shape.Read(r.Name, source) // it was read before: there are no slips
	return &Written{ContentType: jsonType, Body: append(root.JSON(), '\n'), ETag: versionTag(version, r.SHA256, ".json")}
}

// A RubricCheck is what the check of a rubric found.
type RubricCheck struct {
	OK       bool          `json:"ok" doc:"The rubric can be used: no problem is more than a warning"`
	Name     string        `json:"name" doc:"The rubric's name; empty if the file cannot be used"`
	Problems []CheckedSlip `json:"problems" doc:"Every problem and warning, in the order of the file"`
	Untried  engine.Reach  `json:"untried" doc:"What the rubric's own examples leave untried"`
}

// A CheckedSlip is a problem or warning of a rubric file.
type CheckedSlip struct {
	Slip
	Warning bool `json:"warning" doc:"Worth a look, but the rubric is usable"`
}

func checkedSlips(slips []place.Problem) []CheckedSlip {
	out := make([]CheckedSlip, len(slips))
	for i, p := range slips {
		out[i] = CheckedSlip{slipOf(p), p.Warning}
	}
	return out
}

func (s *Server) checkRubric(ctx context.Context, in *Raw) (*Answer[RubricCheck], error) {
	r, untried, slips := engine.CheckRubric("", in.RawBody, s.sourceOf(ctx))
	out := RubricCheck{OK: !place.Failed(slips), Problems: checkedSlips(slips), Untried: untried}
	if r != nil {
		out.Name = r.Name
	}
	return &Answer[RubricCheck]{out}, nil
}

// sourceOf gives the bytes of rubrics that a checked one may extend.
func (s *Server) sourceOf(ctx context.Context) func(string) ([]byte, bool) {
	return func(name string) ([]byte, bool) {
		p, err := s.Rubrics.Rubric(ctx, name)
		if p == nil || err != nil {
			return nil, false
		}
		return p.Source, true
	}
}
