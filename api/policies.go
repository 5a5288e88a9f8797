package api

import (
	"context"
	"fmt"
	"strconv"

	"rootcue/engine/place"
	"rootcue/engine/shape"
	"rootcue/engine/workload"
	"rootcue/internal/store"
)

func (s *Server) policyRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/v1/policies", ID: "list-policies", Tag: "Workload", Summary: "List the workload policies", Role: Read, Also: []Kind{Unavailable},
		Description: "What leagues and bodies publish on the arm, and the club's own. Which are in force stands in the settings.",
	}, s.listPolicies)
	Add(s, Route{
		Method: "GET", Path: "/v1/policies/{name}", ID: "read-policy", Tag: "Workload", Summary: "Read a workload policy", Role: Read, Also: []Kind{Unavailable},
		Description: "The file as YAML, comments and all, or the same as JSON by `Accept`; the active version unless `version` asks for another.",
		Answer:      &Form{policySchema, []string{jsonType, yamlType}},
	}, s.readPolicy)
	Add(s, Route{
		Method: "PUT", Path: "/v1/policies/{name}", ID: "put-policy", Tag: "Workload", Summary: "Publish a workload policy", Role: Admin, Replayable: true, Also: []Kind{Changed, NeedsMatch, Conflict, Unavailable},
		Description: "The file becomes the next version. It must be free of problems and its examples must hold. `If-Match` names the version it was made from; a new policy takes none. To put it in force, name it in the settings.",
		Body:        Text(yamlType, "text/yaml", "text/plain"), MaxBody: 300 << 10,
	}, s.putPolicy)
	Add(s, Route{
		Method: "POST", Path: "/v1/policies/check", ID: "check-policy", Tag: "Workload", Summary: "Check a workload policy file",
		Description: "Every problem with line and column, what was found and what was wanted; its examples are run. Nothing is kept. The answer is 200 whether or not the policy is good: see `ok`.",
		Body:        Text(yamlType, "text/yaml", "text/plain"), MaxBody: 300 << 10,
	}, s.checkPolicy)
}

// A PolicyInfo is a policy in a list.
type PolicyInfo struct {
	Name    string     `json:"name" doc:"The name that settings use"`
	Version int        `json:"version" doc:"The active version, from 1"`
	SHA256  string     `json:"sha256" doc:"Of the file's bytes"`
	At      store.Time `json:"at" doc:"When it was published"`
}

func (s *Server) listPolicies(ctx context.Context, _ *None) (*Answer[Page[PolicyInfo]], error) {
	docs, err := s.Clubs.Policies(ctx, actor(ctx))
	items := make([]PolicyInfo, len(docs))
	for i, d := range docs {
		items[i] = PolicyInfo{d.Name, d.Version, d.SHA256, d.At}
	}
	return &Answer[Page[PolicyInfo]]{Page[PolicyInfo]{Items: items}}, err
}

// OfPolicy names a policy in the path.
type OfPolicy struct {
	Name string `path:"name" pattern:"^[a-z0-9]+(-[a-z0-9]+)*$" maxLength:"100" doc:"The policy's name" example:"pitch-smart"`
}

func (s *Server) readPolicy(ctx context.Context, in *struct {
	OfPolicy
	Version int    `query:"version" minimum:"1" doc:"An older version"`
	Accept  string `header:"Accept" hidden:"true"`
}) (*Written, error) {
	d, _, err := s.Clubs.Policy(ctx, actor(ctx), in.Name, in.Version)
	if err != nil {
		return nil, err
	}
	if Prefer(in.Accept, []string{jsonType, yamlType}) == yamlType {
		return &Written{ContentType: yamlType, ETag: versionTag(d.Version, d.SHA256, ""), Body: d.Source}, nil
	}
	root, _ := shape.Read(d.Name, d.Source) // it was read before: there are no slips
	return &Written{ContentType: jsonType, ETag: versionTag(d.Version, d.SHA256, ".json"), Body: append(root.JSON(), '\n')}, nil
}

func (s *Server) putPolicy(ctx context.Context, in *struct {
	OfPolicy
	Reason  string `query:"reason" maxLength:"2000" doc:"Why, for the history"`
	IfMatch string `header:"If-Match" doc:"The ETag of the version that the change was made from"`
	RawBody []byte
}) (*Tagged, error) {
	base := 0
	if in.IfMatch != "" {
		m := tagForm.FindStringSubmatch(in.IfMatch)
		if m == nil {
			return nil, Changed.Say("the If-Match header field names no version of this policy")
		}
		base, _ = strconv.Atoi(m[1]) // digits; too many are no version
	} else if _, _, err := s.Clubs.Policy(ctx, actor(ctx), in.Name, 0); err == nil {
		return nil, needsMatch()
	}
	d, err := s.Clubs.PutPolicy(ctx, actor(ctx), in.Name, in.RawBody, base, in.Reason)
	if err != nil {
		return nil, err
	}
	return &Tagged{versionTag(d.Version, d.SHA256, ""), fmt.Sprintf("/v1/policies/%s?version=%d", d.Name, d.Version), versionInfo(d, true)}, nil
}

// A PolicyCheck is what the check of a policy found.
type PolicyCheck struct {
	OK       bool          `json:"ok" doc:"The policy can be used: no problem is more than a warning"`
	Name     string        `json:"name" doc:"The policy's name; empty if the file cannot be used"`
	Problems []CheckedSlip `json:"problems" doc:"Every problem and warning, in the order of the file"`
}

func (s *Server) checkPolicy(_ context.Context, in *Raw) (*Answer[PolicyCheck], error) {
	p, slips := workload.Parse("", in.RawBody)
	out := PolicyCheck{OK: !place.Failed(slips), Problems: []CheckedSlip{}}
	for _, slip := range slips {
		out.Problems = append(out.Problems, CheckedSlip{slipOf(slip), slip.Warning})
	}
	if p != nil {
		out.Name = p.Name
	}
	return &Answer[PolicyCheck]{out}, nil
}
