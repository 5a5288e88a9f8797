package api

import (
	"context"
	"strings"
)

func (s *Server) childrenRoutes() {
	Add(s, Route{
		Method: "DELETE", Path: "/v1/players/{ref}", ID: "erase-player", Tag: "Players", Summary: "Erase everything held on a player", Role: Admin, Also: []Kind{Conflict, Unavailable},
		Description: "Observations, assessments, reviews, ledger, cues, tryouts, links and messages: all of it, for good. The change log keeps a proof that tells nothing: whoever knows the reference and the club's key can show that it was erased. A player under legal hold is kept, with 409. With `Prefer: respond-async` it is done later, and the answer holds the job's id.",
	}, s.erasePlayer)
	Add(s, Route{
		Method: "PUT", Path: "/v1/players/{ref}/hold", ID: "hold-player", Tag: "Players", Summary: "Say that the law makes the club keep the data", Role: Admin, Replayable: true, Also: []Kind{Unavailable}, Status: 204,
		Description: "While it holds, nothing of the player is erased, by nobody and by no retention.",
	}, s.holdPlayer)
}

// Erased says what was erased.
type Erased struct {
	Deleted map[string]int `json:"deleted" doc:"Rows by table; empty when it is done later"`
	Proof   string         `json:"proof" doc:"What the change log shows for it: HMAC-SHA-256 of the reference under the club's log key; empty when it is done later"`
	Job     string         `json:"job,omitempty" doc:"The job that does it later"`
}

func (s *Server) erasePlayer(ctx context.Context, in *struct {
	ByRef
	Prefer string `header:"Prefer" doc:"respond-async to have it done later (RFC 7240)"`
}) (*Answer[Erased], error) {
	if strings.Contains(in.Prefer, "respond-async") {
		job, err := s.Clubs.EraseLater(ctx, actor(ctx), in.Ref)
		return &Answer[Erased]{Erased{Deleted: map[string]int{}, Job: job}}, err
	}
	e, err := s.Clubs.Erase(ctx, actor(ctx), in.Ref)
	return &Answer[Erased]{Erased{Deleted: e.Deleted, Proof: e.Proof}}, err
}

// A Hold says whether the law makes the club keep a player's data.
type Hold struct {
	Held bool   `json:"held" doc:"Nothing is erased while it is true"`
	Why  string `json:"why,omitempty" maxLength:"500" doc:"The law or order that asks for it; no names"`
}

func (s *Server) holdPlayer(ctx context.Context, in *struct {
	ByRef
	Body Hold
}) (*struct{}, error) {
	return nil, s.Clubs.Hold(ctx, actor(ctx), in.Ref, in.Body.Held, in.Body.Why)
}
