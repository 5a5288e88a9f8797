package api

import (
	"context"
	"fmt"
	"strings"

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
		Description: "Whether a player may pitch, catch and throw on a day, how many are left and when next, by what was recorded and the policies in force. The strictest answer holds. Pain, a blow and tiredness stop whatever the policies say. Nothing is kept.\n\n" +
			"A bad line of the ledger keeps no other from being judged: it is answered in `problems` by its number, and counted as unknown where anything of it could be used. Reported pain or a blow holds whatever else is wrong with its line.",
		Body: &Form{workloadRequestSchema, []string{jsonType}},
	}, s.workload)
}

// A WorkloadJudged is an answer with the lines that could not be read.
type WorkloadJudged struct {
	workload.Answer
	Problems []Slip `json:"problems" doc:"Bad lines of the ledger, by number; the good ones were judged"`
}

func (s *Server) workload(_ context.Context, in *Raw) (*Answer[WorkloadJudged], error) {
	q, slips := workload.DecodeRequest(in.RawBody)
	lines, others := []Slip{}, []place.Problem{}
	for _, slip := range slips {
		if strings.HasPrefix(slip.Pointer, "/ledger/") && slip.Code != "not-json" {
			lines = append(lines, slipOf(slip))
			continue
		}
		others = append(others, slip)
	}
	if len(others) > 0 {
		return nil, Refused(others)
	}
	policies, err := s.policiesNamed(q.Policies, "/policy")
	if err != nil {
		return nil, err
	}
	if slips := q.Problems(policies); len(slips) > 0 {
		return nil, Refused(slips)
	}
	return &Answer[WorkloadJudged]{WorkloadJudged{workload.Judge(q, policies), lines}}, nil
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
