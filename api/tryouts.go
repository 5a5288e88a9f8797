package api

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

const tryoutTag = "Tryouts" // chapter of the reference

func (s *Server) tryoutRoutes() {
	Add(s, Route{
		Method: "POST", Path: "/v1/tryouts", ID: "add-tryout", Tag: tryoutTag, Summary: "Make a tryout", Role: Edit, Replayable: true, Also: []Kind{Unavailable},
		Description: "Its panel, what is graded, who looks at whom and what counts. Items are what can be entered of the rubrics' measures and the tryout's own; what the rubrics say is settled now, so that one published later moves no standing. At most 1000 players, 40 evaluators, 100,000 grades and 400 pairs of an item and an evaluator; stations bring the last number down. Set up as a training set, its bibs are the observations to be graded.",
	}, s.addTryout)
	Add(s, Route{
		Method: "GET", Path: "/v1/tryouts", ID: "list-tryouts", Tag: tryoutTag, Summary: "List tryouts", Role: Submit, Also: []Kind{Unavailable},
		Description: "Newest first.",
	}, s.listTryouts)
	Add(s, Route{
		Method: "GET", Path: "/v1/tryouts/{id}", ID: "read-tryout", Tag: tryoutTag, Summary: "Read a tryout", Role: Submit, Also: []Kind{Unavailable},
		Description: "What was decided for it, and its items with what each counts.",
	}, s.readTryout)
	Add(s, Route{
		Method: "PUT", Path: "/v1/tryouts/{id}", ID: "put-tryout", Tag: tryoutTag, Summary: "Change a tryout", Role: Edit, Replayable: true, Also: []Kind{Changed, NeedsMatch, Conflict, Unavailable},
		Description: "The whole of its settings. Grades by evaluators and on items that are no longer of the tryout are kept and left out of the standing, which says so. `If-Match` names the settings that the change was made from. A closed tryout is reopened first.",
	}, s.putTryout)
	Add(s, Route{
		Method: "POST", Path: "/v1/tryouts/{id}/close", ID: "close-tryout", Tag: tryoutTag, Summary: "Close a tryout", Role: Edit, Also: []Kind{Conflict, Unavailable},
		Description: "It takes nothing more: no grade, no bib, no recusal. Only an erasure still changes it. Decisions and appeals are recorded as before.",
	}, s.closeTryout)
	Add(s, Route{
		Method: "POST", Path: "/v1/tryouts/{id}/reopen", ID: "reopen-tryout", Tag: tryoutTag, Summary: "Reopen a tryout", Role: Edit, Also: []Kind{Conflict, Unavailable},
		Description: "It takes grades again. The reason stands in the log of changes: no names.",
	}, s.reopenTryout)
	s.rosterRoutes()
	s.gradeRoutes()
	s.recusalRoutes()
	s.standingRoutes()
	s.decisionRoutes()
}

// A TryoutInfo is a tryout as it is read.
type TryoutInfo struct {
	ID        string      `json:"id" doc:"Its id"`
	State     string      `json:"state" enum:"open,closed" doc:"closed: it takes nothing more"`
	ClosedAt  *store.Time `json:"closed_at" doc:"When it was closed; null: it is open"`
	CreatedAt store.Time  `json:"created_at" doc:"When it was made"`
	club.TryoutSettings
	Items []club.TryoutItem `json:"items" doc:"What is graded, and what each item counts"`
}

func tryoutInfo(t club.Tryout) TryoutInfo {
	return TryoutInfo{t.ID, t.State, t.ClosedAt, t.CreatedAt, t.Settings, t.Items}
}

// A TryoutRead is a tryout with what a change must name.
type TryoutRead struct {
	ETag     string `header:"ETag" hidden:"true"`
	Location string `header:"Location" hidden:"true"`
	Body     TryoutInfo
}

func tryoutRead(t club.Tryout) *TryoutRead {
	return &TryoutRead{ETag: tagOf(tryoutInfo(t)), Body: tryoutInfo(t)}
}

// tagOf is the ETag of plain values.
func tagOf(v any) string {
	b, _ := json.Marshal(v)
	sum := sha256.Sum256(b)
	return `"` + base64.RawURLEncoding.EncodeToString(sum[:12]) + `"`
}

func (s *Server) addTryout(ctx context.Context, in *struct{ Body club.TryoutSettings }) (*TryoutRead, error) {
	t, err := s.Clubs.AddTryout(ctx, actor(ctx), in.Body)
	if err != nil {
		return nil, err
	}
	out := tryoutRead(t)
	out.Location = "/v1/tryouts/" + t.ID
	return out, nil
}

func (s *Server) listTryouts(ctx context.Context, _ *None) (*Answer[Page[TryoutInfo]], error) {
	list, err := s.Clubs.Tryouts(ctx, actor(ctx))
	items := make([]TryoutInfo, len(list))
	for i, t := range list {
		items[i] = tryoutInfo(t)
	}
	return &Answer[Page[TryoutInfo]]{Page[TryoutInfo]{Items: items}}, err
}

func (s *Server) readTryout(ctx context.Context, in *ByID) (*TryoutRead, error) {
	t, err := s.Clubs.Tryout(ctx, actor(ctx), in.ID)
	return tryoutRead(t), err
}

func (s *Server) putTryout(ctx context.Context, in *struct {
	ByID
	IfMatch string `header:"If-Match" doc:"The ETag that the change was made from"`
	Body    club.TryoutSettings
}) (*TryoutRead, error) {
	if in.IfMatch == "" {
		return nil, needsMatch()
	}
	t, err := s.Clubs.PutTryout(ctx, actor(ctx), in.ID, in.Body, func(was club.Tryout) bool { return SameTag(in.IfMatch, tagOf(tryoutInfo(was))) })
	return tryoutRead(t), err
}

func (s *Server) closeTryout(ctx context.Context, in *ByID) (*TryoutRead, error) {
	t, err := s.Clubs.CloseTryout(ctx, actor(ctx), in.ID)
	return tryoutRead(t), err
}

// A Reason says why.
type Reason struct {
	Reason string `json:"reason" minLength:"1" maxLength:"500" doc:"Why, for the log; no names"`
}

func (s *Server) reopenTryout(ctx context.Context, in *struct {
	ByID
	Body Reason
}) (*TryoutRead, error) {
	t, err := s.Clubs.ReopenTryout(ctx, actor(ctx), in.ID, in.Body.Reason)
	return tryoutRead(t), err
}
