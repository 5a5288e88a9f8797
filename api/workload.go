package api

import (
	"context"
	"fmt"

	"rootcue/engine/place"
	"rootcue/engine/workload"
)

// Policies is where handlers find workload policies.
type Policies interface {
	PolicyNames() []string
	// Policy finds a policy by name; nil if there is none.
	Policy(name string) (*workload.Policy, error)
}

func (s *Server) workloadRoutes() {
	Add(s, Route{
		Method: "POST", Path: "/v1/workload", ID: "workload", Tag: "Judge", Summary: "What the workload rules allow an arm on a date",
		Description: "Whether a player may pitch, catch and throw on a day, how many are left and when next, by what was recorded and the policies in force. The strictest answer holds. Pain, a blow and tiredness stop whatever the policies say. Nothing is kept.",
		Body:        &Form{workloadRequestSchema, []string{jsonType}},
	}, s.workload)
}

func (s *Server) workload(_ context.Context, in *Raw) (*Answer[workload.Answer], error) {
	q, slips := workload.DecodeRequest(in.RawBody)
	if len(slips) > 0 {
		return nil, Refused(slips)
	}
	policies, err := s.policiesNamed(q.Policies, "/policy")
	if err != nil {
		return nil, err
	}
	if slips := q.Problems(policies); len(slips) > 0 {
		return nil, Refused(slips)
	}
	return &Answer[workload.Answer]{workload.Judge(q, policies)}, nil
}

// policiesNamed finds policies by their names; at is where the names stand.
func (s *Server) policiesNamed(names []string, at string) (found []*workload.Policy, err error) {
	var slips []place.Problem
	for i, name := range names {
		p, err := s.Policies.Policy(name)
		if err != nil {
			return nil, err
		}
		if p == nil {
			known := s.Policies.PolicyNames()
			slips = append(slips, place.Problem{Code: "unknown-policy", Pointer: fmt.Sprintf("%s/%d", at, i), Found: fmt.Sprintf("the policy %q", name), Wanted: place.List(known), Hint: didYouMean(name, known)})
			continue
		}
		found = append(found, p)
	}
	if len(slips) > 0 {
		return nil, Refused(slips)
	}
	return found, nil
}
