package api

import (
	"context"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

func (s *Server) versionRoutes() {
	Add(s, Route{
		Method: "PUT", Path: "/v1/rubrics/{name}", ID: "publish-rubric", Tag: "Rubrics", Summary: "Publish a new version", Role: Edit, Replayable: true, Also: []Kind{Changed, NeedsMatch, Conflict, Unavailable},
		Description: "The file becomes the next version and judges from its effective date on; versions before it stay as they are. It must be free of problems and its examples must hold. `If-Match` names the version it was made from; a new rubric takes `If-None-Match: *` or neither. The very bytes of the active version make no new one. " +
			"What it extends is the other rubric as it stands now: a later version of that changes nothing here until this is published again. Stored assessments stay; see reassess.",
		Body: Text(yamlType, "text/yaml", "text/plain"), MaxBody: 300 << 10,
	}, s.publishRubric)
	Add(s, Route{
		Method: "GET", Path: "/v1/rubrics/{name}/versions", ID: "list-versions", Tag: "Rubrics", Summary: "The history of a rubric", Role: Read, Also: []Kind{Unavailable},
		Description: "Newest first: who published what, when and why. Versions never change.",
	}, s.listVersions)
	Add(s, Route{
		Method: "GET", Path: "/v1/rubrics/{name}/versions/{n}", ID: "read-version", Tag: "Rubrics", Summary: "Read a version", Role: Read, Also: []Kind{Unavailable},
		Description: "The file as it was published, as YAML or JSON by `Accept`.",
		Answer:      &Form{rubricSchema, []string{jsonType, yamlType}},
	}, s.readVersion)
	Add(s, Route{
		Method: "POST", Path: "/v1/rubrics/{name}/activate", ID: "activate-rubric", Tag: "Rubrics", Summary: "Go back to a version", Role: Edit, Replayable: true, Also: []Kind{Changed, NeedsMatch, Unavailable},
		Description: "Makes another version the active one, an older or a newer. No version is lost by it. `If-Match` names the version that is active.",
	}, s.activateRubric)
	Add(s, Route{
		Method: "GET", Path: "/v1/rubrics/{name}/differences", ID: "compare-versions", Tag: "Rubrics", Summary: "What changed between two versions", Role: Read, Also: []Kind{Unavailable},
		Description: "In words, and as paths with old and new value.",
	}, s.compareVersions)
	Add(s, Route{
		Method: "GET", Path: "/v1/rubrics/{name}/template.csv", ID: "rubric-template", Tag: "Rubrics", Summary: "A table to fill in", Role: Read, Also: []Kind{Unavailable},
		Description: "The header line of a CSV file for POST /v1/observations: one row a rep; units stand in brackets; an empty cell was not seen. Columns that are not needed may be taken out.",
		Answer:      Text(csvType),
	}, s.readTemplate)
}

// versionTag is the ETag of a version of a rubric in one form.
func versionTag(version int, sha, form string) string {
	return fmt.Sprintf(`"v%d-%.12s%s"`, version, sha, form)
}

var tagForm = regexp.MustCompile(`"v(\d+)-([0-9a-f]{12})(\.json)?"`)

// baseOf is the version that a change builds on: that of If-Match, which must
// be the active one; 0 for a rubric that is not there yet.
func (s *Server) baseOf(ctx context.Context, name, ifMatch, ifNoneMatch string) (int, error) {
	active, err := s.Rubrics.Rubric(ctx, name)
	switch {
	case err != nil:
		return 0, err
	case active == nil && ifMatch == "":
		return 0, nil
	case active == nil:
		return 0, NotFound.Say("no rubric %q to change; leave If-Match out to publish a new one", name)
	case ifNoneMatch == "*":
		return 0, Changed.Say("the rubric %q is there already, at version %d", name, active.Version)
	case ifMatch == "":
		return 0, NeedsMatch.At(Slip{Code: "needs-if-match", Parameter: "header.If-Match", Found: "no If-Match", Wanted: "the ETag of the version that the change was made from", Hint: "read the rubric first"})
	case strings.TrimSpace(ifMatch) == "*":
		return active.Version, nil
	}
	for _, m := range tagForm.FindAllStringSubmatch(ifMatch, -1) {
		if n, err := strconv.Atoi(m[1]); err == nil && n == active.Version && strings.HasPrefix(active.Rubric.SHA256, m[2]) {
			return n, nil
		}
	}
	return 0, Changed.Say("version %d is active, and If-Match names another; read it again and repeat the change", active.Version)
}

// VersionInfo is a version in a rubric's history.
type VersionInfo struct {
	Name          string     `json:"name" doc:"The rubric's name"`
	Version       int        `json:"version" doc:"Its number, from 1"`
	Active        bool       `json:"active" doc:"It is the one in use, from its effective date on"`
	SHA256        string     `json:"sha256" doc:"Of the file's bytes"`
	Who           string     `json:"who" doc:"The id of the key that published it, or system"`
	Why           string     `json:"why" doc:"The reason given; empty: none"`
	At            store.Time `json:"at" doc:"When it was published"`
	EffectiveFrom string     `json:"effective_from" doc:"The first day on which it judges what comes in, in the club's time zone"`
	Bytes         int        `json:"bytes" doc:"Size of the file"`
}

func versionInfo(d store.Document, active bool) VersionInfo {
	return VersionInfo{d.Name, d.Version, active, d.SHA256, d.Who, d.Why, d.At, d.EffectiveFrom, len(d.Source)}
}

// A Tagged answers with a version, its ETag and its address.
type Tagged struct {
	ETag     string `header:"ETag" hidden:"true"`
	Location string `header:"Location" hidden:"true"`
	Body     VersionInfo
}

func tagged(v *club.Version) *Tagged {
	return &Tagged{versionTag(v.Version, v.Rubric.SHA256, ""), fmt.Sprintf("/v1/rubrics/%s/versions/%d", v.Name, v.Version), versionInfo(v.Document, true)}
}

// OfRubric names a rubric in the path.
type OfRubric struct {
	Name string `path:"name" pattern:"^[a-z0-9]+(-[a-z0-9]+)*$" maxLength:"100" doc:"The rubric's name" example:"throw-to-second"`
}

// Because are the parameters that say why a version is made.
type Because struct {
	Reason        string `query:"reason" maxLength:"2000" doc:"Why, for the history"`
	EffectiveFrom string `query:"effective_from" format:"date" doc:"The first day on which it judges what comes in, in the club's time zone; today when left out"`
	IfMatch       string `header:"If-Match" doc:"The ETag of the version that the change was made from"`
	IfNoneMatch   string `header:"If-None-Match" doc:"* to publish a new rubric only"`
}

func (s *Server) publishRubric(ctx context.Context, in *struct {
	OfRubric
	Because
	RawBody []byte
}) (*Tagged, error) {
	base, err := s.baseOf(ctx, in.Name, in.IfMatch, in.IfNoneMatch)
	if err != nil {
		return nil, err
	}
	v, err := s.Clubs.Publish(ctx, actor(ctx), club.Publication{Name: in.Name, Source: in.RawBody, Base: base, Why: in.Reason, EffectiveFrom: in.EffectiveFrom})
	if err != nil {
		return nil, err
	}
	return tagged(v), nil
}

func (s *Server) listVersions(ctx context.Context, in *OfRubric) (*Answer[Page[VersionInfo]], error) {
	h, err := s.Clubs.History(ctx, actor(ctx), in.Name)
	list := make([]VersionInfo, len(h.Versions))
	for i, d := range h.Versions {
		list[i] = versionInfo(d, d.Version == h.Active)
	}
	return &Answer[Page[VersionInfo]]{Page[VersionInfo]{Items: list}}, err
}

func (s *Server) readVersion(ctx context.Context, in *struct {
	OfRubric
	N      int    `path:"n" minimum:"1" doc:"The version's number" example:"1"`
	Accept string `header:"Accept" hidden:"true"`
}) (*Written, error) {
	v, err := s.Clubs.Rubric(ctx, actor(ctx), in.Name, in.N)
	if err != nil {
		return nil, err
	}
	return writtenRubric(in.Accept, v.Rubric, v.Version, v.Source), nil
}

// An Activation names the version to make active.
type Activation struct {
	Version int    `json:"version" minimum:"1" doc:"The version to go to"`
	Reason  string `json:"reason,omitempty" maxLength:"2000" doc:"Why, for the log of changes"`
}

func (s *Server) activateRubric(ctx context.Context, in *struct {
	OfRubric
	IfMatch string `header:"If-Match" doc:"The ETag of the active version"`
	Body    Activation
}) (*Tagged, error) {
	base, err := s.baseOf(ctx, in.Name, in.IfMatch, "")
	if err != nil {
		return nil, err
	}
	v, err := s.Clubs.Activate(ctx, actor(ctx), in.Name, in.Body.Version, base, in.Body.Reason)
	if err != nil {
		return nil, err
	}
	return tagged(v), nil
}

// Differences are what two versions say differently.
type Differences struct {
	Differences []club.Difference `json:"differences" doc:"In the order of the older file, then what is new; empty: the same bytes"`
}

func (s *Server) compareVersions(ctx context.Context, in *struct {
	OfRubric
	From int `query:"from" minimum:"1" required:"true" doc:"The older version" example:"1"`
	To   int `query:"to" minimum:"1" required:"true" doc:"The newer version" example:"2"`
}) (*Answer[Differences], error) {
	list, err := s.Clubs.Differences(ctx, actor(ctx), in.Name, in.From, in.To)
	return &Answer[Differences]{Differences{list}}, err
}

func (s *Server) readTemplate(ctx context.Context, in *OfRubric) (*Written, error) {
	v, err := s.Clubs.Rubric(ctx, actor(ctx), in.Name, 0)
	if err != nil {
		return nil, err
	}
	return &Written{ContentType: csvType + "; charset=utf-8; header=present", Body: []byte(club.TemplateCSV(v.Rubric))}, nil
}
