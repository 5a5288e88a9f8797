package api

import (
	"context"
	"fmt"
	"regexp"
	"strconv"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

func (s *Server) reviewRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/v1/assessments/{id}/review", ID: "read-review", Tag: "Review", Summary: "Read the instructor's word", Role: Read, Also: []Kind{Unavailable},
		Description: "The latest review, and the assessment twice: as the engine made it, and with the instructor's corrections in `work_on`. Both are under the cautions of today.",
	}, s.readReview)
	Add(s, Route{
		Method: "PUT", Path: "/v1/assessments/{id}/review", ID: "put-review", Tag: "Review", Summary: "Set aside, swap, note, release", Role: Edit, Replayable: true, Also: []Kind{Changed, NeedsMatch, Conflict, Unavailable},
		Description: "The whole word of the instructor; it becomes the next revision, and those before it are kept. `release` lets the family read it: report links open, the corrections are noted as handed out, and webhooks are told. What cautions stop is handed out by nobody. `If-Match` names the review it was made from; the first takes none.",
	}, s.putReview)
}

// A ReviewPut is the instructor's word.
type ReviewPut struct {
	club.Review
	Release bool `json:"release,omitempty" doc:"The family may read it"`
}

// A ReviewRead is a review beside both views of the assessment.
type ReviewRead struct {
	ETag string `header:"ETag" hidden:"true"`
	Body ReviewBody
}

// A ReviewBody shows the engine's and the instructor's view, each as such.
type ReviewBody struct {
	Revision   int            `json:"revision" doc:"From 1; 0: nobody has reviewed it"`
	Released   bool           `json:"released" doc:"The family may read it"`
	Who        string         `json:"who" doc:"The id of the instructor's key; empty: nobody's"`
	At         *store.Time    `json:"at" doc:"When it was written"`
	Review     club.Review    `json:"review" doc:"The instructor's word"`
	ConsentOn  *string        `json:"consent_on" doc:"Day of the guardian's written consent; null: none is recorded, and nothing may be filmed, kept or shown without it"`
	Engine     AssessmentItem `json:"engine" doc:"The assessment as the engine made it"`
	Instructor AssessmentItem `json:"instructor" doc:"The same with the instructor's corrections"`
}

func reviewTag(revision int) string { return fmt.Sprintf(`"r%d"`, revision) }

func reviewRead(r club.Reviewed) *ReviewRead {
	return &ReviewRead{reviewTag(r.Revision), ReviewBody{r.Revision, r.Released, r.Who, r.At, r.Review, r.ConsentOn, r.Engine, r.Instructor}}
}

func (s *Server) readReview(ctx context.Context, in *ByID) (*ReviewRead, error) {
	r, err := s.Clubs.Review(ctx, actor(ctx), in.ID)
	if err != nil {
		return nil, err
	}
	return reviewRead(r), nil
}

var reviewTagForm = regexp.MustCompile(`"r(\d+)"`)

func (s *Server) putReview(ctx context.Context, in *struct {
	ByID
	IfMatch string `header:"If-Match" doc:"The ETag of the review that the change was made from"`
	Body    ReviewPut
}) (*ReviewRead, error) {
	base := 0
	if m := reviewTagForm.FindStringSubmatch(in.IfMatch); m != nil {
		base, _ = strconv.Atoi(m[1]) // digits; too many are no revision
	} else if in.IfMatch != "" {
		return nil, Changed.Say("the If-Match header field names no review of this assessment")
	}
	r, err := s.Clubs.PutReview(ctx, actor(ctx), in.ID, in.Body.Review, in.Body.Release, base)
	if err != nil {
		return nil, err
	}
	return reviewRead(r), nil
}
