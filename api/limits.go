package api

import (
	"context"
	"encoding/json"
	"io"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humagin"
	"github.com/gin-gonic/gin"

	"rootcue/engine/rubric"
	"rootcue/internal/club"
)

func (s *Server) limitRoutes() {
	Add(s, Route{
		Method: "PATCH", Path: "/v1/rubrics/{name}/limits", ID: "edit-limits", Tag: "Rubrics", Summary: "Change limits", Role: Edit, Replayable: true, Also: []Kind{Changed, NeedsMatch, Unavailable},
		Description: "Publishes a version in which only these numbers differ: comments and layout of the file survive to the byte. A change that breaks one of the rubric's own examples is refused with the example. `If-Match` names the version the change was made from.",
	}, s.editLimits)
	Add(s, Route{
		Method: "POST", Path: "/v1/rubrics/{name}/impact", ID: "rubric-impact", Tag: "Rubrics", Summary: "What a change would do to what is stored", Role: Edit, Also: []Kind{Unavailable},
		Description: "Judges every stored observation of the rubric once more, by the file in the body or by the active version with other limits, and says which assessments would come out differently. The rubric's own examples that would break stand in `problems`. Nothing is kept. With `Accept: application/x-ndjson`, lines of progress `{\"progress\": {\"done\": 200}}` come first, and the answer as `{\"impact\": {…}}` on the last.",
		Body:        &Form{limitsSchema, []string{jsonType, yamlType}}, Answer: &Form{typed[ImpactTold], []string{jsonType, ndjsonType}},
	}, s.rubricImpact)
	Add(s, Route{
		Method: "POST", Path: "/v1/rubrics/{name}/reassess", ID: "reassess", Tag: "Rubrics", Summary: "Judge anew what is stored", Role: Edit, Replayable: true, Status: 202, Also: []Kind{Unavailable},
		Description: "Every current observation of the rubric is judged by the version in force now, as a job. The assessments until now are kept beside the new ones. While a job for the same version waits or runs, the answer names that one and no other is begun.",
	}, s.reassess)
}

// LimitEdits change limits of a rubric.
type LimitEdits struct {
	Limits        []rubric.LimitEdit `json:"limits" minItems:"1" maxItems:"500" doc:"Each names a fault and a band, and one of at_most, at_least and between as the fault has it, in the unit of the file"`
	Reason        string             `json:"reason,omitempty" maxLength:"2000" doc:"Why, for the history"`
	EffectiveFrom string             `json:"effective_from,omitempty" format:"date" doc:"The first day on which they hold, in the club's time zone; today when left out"`
}

// An ImpactTold is what a change would do to what is stored and to the rubric's
// own examples.
type ImpactTold struct {
	club.Impact
	Problems []CheckedSlip `json:"problems" doc:"What the check of the changed file finds: examples that break keep it from being published, warnings do not"`
}

func impactTold(im *club.Impact) ImpactTold { return ImpactTold{*im, checkedSlips(im.Problems)} }

func limitsSchema(r schemas) *huma.Schema { return schemaOf[LimitEdits](r) }

func typed[T any](r schemas) *huma.Schema { return schemaOf[T](r) }

func (s *Server) editLimits(ctx context.Context, in *struct {
	OfRubric
	IfMatch string `header:"If-Match" doc:"The ETag of the version that the change was made from"`
	Body    LimitEdits
}) (*Tagged, error) {
	base, err := s.baseOf(ctx, in.Name, in.IfMatch, "")
	if err != nil {
		return nil, err
	}
	v, err := s.Clubs.EditLimits(ctx, actor(ctx), club.Edit{Name: in.Name, Limits: in.Body.Limits, Base: base, Why: in.Body.Reason, EffectiveFrom: in.Body.EffectiveFrom})
	if err != nil {
		return nil, err
	}
	return tagged(v), nil
}

func (s *Server) rubricImpact(ctx context.Context, in *struct {
	OfRubric
	ContentType string `header:"Content-Type" hidden:"true"`
	Accept      string `header:"Accept" hidden:"true"`
}) (*huma.StreamResponse, error) {
	return &huma.StreamResponse{Body: func(h huma.Context) {
		c := humagin.Unwrap(h)
		src, err := s.candidate(c, in.Name, in.ContentType)
		if err != nil {
			s.refuse(c, failed(err))
			return
		}
		lines := Prefer(in.Accept, []string{jsonType, ndjsonType}) == ndjsonType
		progress := func(int) error { return nil }
		if lines {
			progress = func(done int) error { return writeLine(c, map[string]any{"progress": map[string]int{"done": done}}) }
		}
		impact, err := s.Clubs.Impact(c.Request.Context(), actor(c.Request.Context()), in.Name, src, progress)
		switch {
		case err != nil:
			s.refuseLate(c, failed(err))
		case lines:
			err = writeLine(c, map[string]any{"impact": impactTold(impact)})
		default:
			c.Header("Content-Type", jsonType)
			err = writeJSON(c.Writer, impactTold(impact))
		}
		if err != nil {
			_ = c.Error(err) // to the log
		}
	}}, nil
}

// candidate is the file whose impact is asked for.
func (s *Server) candidate(c *gin.Context, name, contentType string) ([]byte, error) {
	body, err := io.ReadAll(c.Request.Body)
	if err != nil || baseType(contentType) == yamlType {
		return body, err
	}
	var edits LimitEdits
	if err := readJSON(body, &edits); err != nil {
		return nil, NotJSON.At(Slip{Code: "not-json", Found: err.Error(), Wanted: "the document of PATCH limits, or a rubric as " + yamlType})
	}
	return s.Clubs.Edited(c.Request.Context(), actor(c.Request.Context()), name, edits.Limits)
}

// writeLine writes a line of NDJSON and sends it off.
func writeLine(c *gin.Context, v any) error {
	c.Header("Content-Type", ndjsonType)
	b, err := json.Marshal(v)
	if err != nil {
		return err
	}
	_, err = c.Writer.Write(append(b, '\n'))
	c.Writer.Flush()
	return err
}

// refuseLate answers with a problem, as a last line where lines are out
// already.
func (s *Server) refuseLate(c *gin.Context, p *Problem) {
	if !c.Writer.(*heldWriter).streams {
		s.refuse(c, p)
		return
	}
	p.RequestID = RequestID(c.Request.Context())
	_ = c.Error(p) // to the log
	if err := writeLine(c, map[string]any{"problem": p}); err != nil {
		_ = c.Error(err) // to the log: the client is gone
	}
}

// A JobStarted says which job does the work.
type JobStarted struct {
	Job string `json:"job" doc:"The job's id: its progress is at /v1/jobs/{id}"`
}

// Accepted answers with a job.
type Accepted struct {
	Location string `header:"Location" hidden:"true"`
	Body     JobStarted
}

func (s *Server) reassess(ctx context.Context, in *OfRubric) (*Accepted, error) {
	job, err := s.Clubs.Reassess(ctx, actor(ctx), in.Name)
	return &Accepted{"/v1/jobs/" + job, JobStarted{job}}, err
}
