package api

import (
	"context"
	"fmt"

	"rootcue/engine"
	"rootcue/engine/civil"
	"rootcue/engine/observation"
	"rootcue/engine/place"
	"rootcue/engine/strictjson"
	"rootcue/engine/workload"
)

func (s *Server) assessRoutes() {
	Add(s, Route{
		Method: "POST", Path: "/v1/assess", ID: "assess", Tag: "Judge", Summary: "Judge an observation",
		Description: "Answers which faults are there and how sure that is, which one starts the others, what that costs on the clock, what to work on first and what to keep. Nothing is kept.\n\n" +
			"Beside the observation's own keys the body may hold `ledger`, the player's arm ledger, and `policies`, the names of the workload policies in force: the answer then carries their cautions, and hands out nothing that they stop. A ledger without policies still stops for pain, a blow or tiredness.",
		Body: &Form{assessRequestSchema, []string{jsonType}}, Answer: &Form{assessmentSchema, []string{jsonType}},
		Examples: demoObservations(),
	}, s.assess)
}

func (s *Server) assess(ctx context.Context, in *Raw) (*Written, error) {
	o, arm, slips := decodeAssess(in.RawBody)
	if len(slips) > 0 {
		return nil, Refused(slips)
	}
	p, err := s.rubricOf(ctx, o.Rubric)
	if err != nil {
		return nil, err
	}
	req := engine.Request{Rubric: p.Rubric, Version: p.Version, Observation: o}
	if req.Gate, err = s.gate(arm, o, p); err != nil {
		return nil, err
	}
	a, slips := engine.Assess(req)
	if a == nil {
		return nil, Refused(slips)
	}
	body, err := a.JSON()
	return &Written{ContentType: jsonType, Body: body}, err
}

// rubricOf finds the rubric an observation names.
func (s *Server) rubricOf(ctx context.Context, name string) (*Published, error) {
	p, err := s.Rubrics.Rubric(ctx, name)
	if p != nil || err != nil {
		return p, err
	}
	names, err := s.Rubrics.Names(ctx)
	if err != nil {
		return nil, err
	}
	slip := Slip{Code: "missing-key", Found: `no "rubric"`, Wanted: "a rubric: " + place.List(names)}
	if name != "" {
		slip = Slip{Code: "unknown-rubric", Pointer: "/rubric", Found: fmt.Sprintf("the rubric %q", name), Wanted: place.List(names), Hint: didYouMean(name, names)}
	}
	return nil, NotValid.At(slip)
}

func didYouMean(word string, known []string) string {
	if near := place.Nearest(word, known); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return ""
}

// armRecord is what an observation may have beside it: nil lists were not
// given.
type armRecord struct {
	ledger   *workload.Ledger
	policies []string
}

var besideKeys = []string{"ledger", "policies"}

// lastDay reads a ledger whole: the observation sees it as of its own day.
var lastDay = civil.Date{Year: 9999, Month: 12, Day: 31}

func decodeAssess(data []byte) (*observation.Observation, armRecord, []place.Problem) {
	var arm armRecord
	o, slips := observation.DecodeBeside(data, besideKeys, func(r *strictjson.Reader, key string) {
		switch key {
		case "ledger":
			if r.Null() {
				return
			}
			ledger, wrong := workload.ReadJSON(r, lastDay)
			for _, p := range wrong {
				r.Report(p)
			}
			arm.ledger = &ledger
		case "policies":
			if r.Null() {
				return
			}
			r.Array(func(int) {
				if name, ok := r.Text("the name of a policy"); ok {
					arm.policies = append(arm.policies, name)
				}
			})
		}
	})
	if len(slips) == 0 && arm.policies != nil && arm.ledger == nil {
		slips = []place.Problem{{Code: "missing-key", Pointer: "/policies", Found: "policies without a ledger", Wanted: `"ledger" beside them`, Hint: "an empty list says that nothing is recorded"}}
	}
	return o, arm, slips
}

// gate is what the arm's record says on the day of the observation.
func (s *Server) gate(arm armRecord, o *observation.Observation, p *Published) (*workload.Gate, error) {
	if arm.ledger == nil {
		return nil, nil
	}
	policies, err := s.policiesNamed(arm.policies, "/policies")
	if err != nil {
		return nil, err
	}
	g := engine.ArmGate(p.Rubric, o, policies, *arm.ledger)
	return &g, nil
}
