package api

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"reflect"
	"strconv"

	"github.com/danielgtaylor/huma/v2"

	"rootcue/engine"
	"rootcue/internal/store"
)

func (s *Server) assessmentRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/v1/assessments", ID: "list-assessments", Tag: "Observations", Summary: "List assessments", Role: Read, Also: []Kind{Unavailable},
		Description: "Newest first by the day of the observation. Those that count now, unless `old` asks for replaced ones too. A key of role read sees no stature, and of cautions only that one applies.",
	}, s.listAssessments)
	Add(s, Route{
		Method: "GET", Path: "/v1/assessments/{id}", ID: "read-assessment", Tag: "Observations", Summary: "Read an assessment", Role: Read, Also: []Kind{Unavailable},
		Description: "As it was answered when it was made; old ones too. A key of role read sees no stature, and of cautions only that one applies.",
		Answer:      Typed[engine.Assessment](),
	}, s.readAssessment)
	Add(s, Route{
		Method: "GET", Path: "/v1/assessments/{id}/replay", ID: "replay-assessment", Tag: "Observations", Summary: "Make an assessment once more", Role: Edit, Also: []Kind{Unavailable},
		Description: "From the stored version of the rubric and the stored input. `same` says whether the bytes are those answered then: it is false only if the program judges otherwise than it did.",
	}, s.replayAssessment)
}

// AssessmentItem is an assessment in a list: the document of its own address.
type AssessmentItem json.RawMessage

// MarshalJSON writes the document itself.
func (a AssessmentItem) MarshalJSON() ([]byte, error) { return a, nil }

// Schema is asked for by huma.
func (AssessmentItem) Schema(r huma.Registry) *huma.Schema {
	return r.Schema(reflect.TypeFor[engine.Assessment](), true, "")
}

type assessmentQuery struct {
	Paging
	Player  string `query:"player" doc:"The club's reference of the player"`
	Session string `query:"session" doc:"The session's reference"`
	Rubric  string `query:"rubric" doc:"The rubric's name"`
	On      string `query:"on" format:"date" doc:"One day; instead of from and to"`
	From    string `query:"from" format:"date" doc:"First day"`
	To      string `query:"to" format:"date" doc:"Last day"`
	Fault   string `query:"fault" doc:"A fault's name, with verdict"`
	Verdict string `query:"verdict" enum:"fault,close,sound" doc:"Its verdict; fault when left out beside fault"`
	Old     bool   `query:"old" doc:"Replaced assessments too; not with fault"`
}

func (q *assessmentQuery) filter() (store.AssessmentFilter, error) {
	f := store.AssessmentFilter{Player: q.Player, Session: q.Session, Rubric: q.Rubric, From: q.From, To: q.To, Fault: q.Fault, Verdict: q.Verdict, Old: q.Old}
	slip := func(parameter, found, wanted string) error {
		return NotValid.At(Slip{Code: "not-together", Parameter: "query." + parameter, Found: found, Wanted: wanted})
	}
	switch {
	case q.On != "" && q.From+q.To != "":
		return f, slip("on", "on beside from or to", "on alone, or from and to")
	case q.Verdict != "" && q.Fault == "":
		return f, slip("verdict", "a verdict without a fault", "fault and verdict")
	case q.Fault != "" && q.Old:
		return f, slip("old", "old beside fault", "one of them: verdicts are kept of current assessments only")
	}
	if q.On != "" {
		f.From, f.To = q.On, q.On
	}
	if q.Fault != "" && q.Verdict == "" {
		f.Verdict = "fault"
	}
	return f, nil
}

func (s *Server) listAssessments(ctx context.Context, in *assessmentQuery) (*Paged[AssessmentItem], error) {
	f, err := in.filter()
	if err != nil {
		return nil, err
	}
	l, err := s.Clubs.Assessments(ctx, actor(ctx), f, in.Next, in.Limit)
	if err != nil {
		return nil, err
	}
	items := make([]AssessmentItem, len(l.Items))
	for i := range l.Items {
		items[i] = AssessmentItem(l.Items[i])
	}
	query := filled("player", in.Player, "session", in.Session, "rubric", in.Rubric, "on", in.On, "from", in.From, "to", in.To, "fault", in.Fault, "verdict", in.Verdict, "limit", number0(in.Limit))
	if in.Old {
		query.Set("old", "true")
	}
	return paged("/v1/assessments", query, items, l.Next), nil
}

// number0 writes a number, "" for 0.
func number0(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// ByID names something by its id in the path.
type ByID struct {
	ID string `path:"id" format:"uuid" doc:"Its id" example:"0197a3b1-6f1e-7c41-9a3e-2b7d5c0e4f10"`
}

func (s *Server) readAssessment(ctx context.Context, in *ByID) (*Written, error) {
	body, _, err := s.Clubs.Assessment(ctx, actor(ctx), in.ID)
	return &Written{ContentType: jsonType, Body: body}, err
}

// A Replayed says whether an assessment comes out the same again.
type Replayed struct {
	Same   bool   `json:"same" doc:"To the byte"`
	Stored string `json:"stored" doc:"SHA-256 of the assessment as it was answered, hex"`
	Again  string `json:"again" doc:"SHA-256 of the assessment made once more, hex"`
}

func (s *Server) replayAssessment(ctx context.Context, in *ByID) (*Answer[Replayed], error) {
	r, err := s.Clubs.Replay(ctx, actor(ctx), in.ID)
	return &Answer[Replayed]{Replayed{r.Same, digest(r.Stored), digest(r.Again)}}, err
}

func digest(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}
