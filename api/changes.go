package api

import (
	"context"
	"encoding/json"

	"rootcue/internal/store"
)

func (s *Server) changeRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/v1/changes", ID: "list-changes", Tag: "Access", Summary: "Who changed what", Role: Edit, Also: []Kind{Unavailable},
		Description: "Newest first. Each entry's hash covers the one before, so that a change of any entry shows: rootcue verify recomputes them. Players stand in it by a random id that means nothing once they are erased.",
	}, s.listChanges)
}

// ChangeInfo is an entry of the log.
type ChangeInfo struct {
	Seq      int64           `json:"seq" doc:"From 1, without gaps"`
	At       store.Time      `json:"at" doc:"When"`
	Who      string          `json:"who" doc:"The id of a key, or system"`
	What     string          `json:"what" doc:"What was done" example:"rubric.published"`
	Entity   string          `json:"entity" doc:"To what: kind/id" example:"rubric/throw-to-second"`
	Detail   json.RawMessage `json:"detail" doc:"What more there is to say of it"`
	PrevHash string          `json:"prev_hash" doc:"Hash of the entry before; empty for the first"`
	Hash     string          `json:"hash" doc:"SHA-256 of this entry and the hash before it, hex"`
}

func (s *Server) listChanges(ctx context.Context, in *struct{ Paging }) (*Paged[ChangeInfo], error) {
	l, err := s.Clubs.Changes(ctx, actor(ctx), in.Next, in.Limit)
	if err != nil {
		return nil, err
	}
	items := make([]ChangeInfo, len(l.Items))
	for i, c := range l.Items {
		items[i] = ChangeInfo{c.Seq, c.At, c.Who, c.What, c.Entity, json.RawMessage(c.Detail), c.PrevHash, c.Hash}
	}
	return paged("/v1/changes", filled("limit", number0(in.Limit)), items, l.Next), nil
}
