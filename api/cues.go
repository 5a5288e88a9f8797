package api

import (
	"context"

	"rootcue/internal/club"
)

func (s *Server) cueRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/v1/players/{ref}/progress", ID: "read-progress", Tag: "Progress", Summary: "What changed for a player", Role: Read, Also: []Kind{Unavailable},
		Description: "Each measure that has a limit over the player's own sessions: the change, the least change that is real, and whether it is better, worse or no real change by the fault's side. Dry and live throws are separate series. It is held against the player's own past, season and age group, never against others; a change of age group or growth alone never reads as worse.",
	}, s.readProgress)
	Add(s, Route{
		Method: "GET", Path: "/v1/players/{ref}/cues", ID: "list-cues", Tag: "Progress", Summary: "What was handed out and done", Role: Read, Also: []Kind{Unavailable},
		Description: "Newest first. A note says when the same correction was handed out in three sessions running without a real change.",
	}, s.listCues)
	Add(s, Route{
		Method: "PUT", Path: "/v1/players/{ref}/cues/{id}", ID: "mark-cue", Tag: "Progress", Summary: "Note that a correction was done", Role: Submit, Replayable: true, Also: []Kind{Unavailable}, Status: 204,
		Description: "With the day on which it was done; null takes that back.",
	}, s.markCue)
}

func (s *Server) readProgress(ctx context.Context, in *ByRef) (*Answer[club.Development], error) {
	d, err := s.Clubs.Progress(ctx, actor(ctx), in.Ref)
	return &Answer[club.Development]{d}, err
}

// A HandedCue is one correction that was handed out.
type HandedCue struct {
	ID         string  `json:"id" doc:"Its id"`
	Fault      string  `json:"fault"`
	Drill      string  `json:"drill" doc:"Empty: none was handed out with it"`
	Assessment *string `json:"assessment" doc:"The assessment it came from"`
	HandedOn   string  `json:"handed_on" doc:"The day it was handed out"`
	DoneOn     *string `json:"done_on" doc:"The day it was done; null: not noted"`
}

// HandedCues are what was handed out, and the notes on it.
type HandedCues struct {
	Items []HandedCue    `json:"items" doc:"Newest first"`
	Next  *string        `json:"next" doc:"Where the list goes on; null: nowhere"`
	Notes []club.CueNote `json:"notes" doc:"Corrections that do not get on"`
}

func (s *Server) listCues(ctx context.Context, in *ByRef) (*Answer[HandedCues], error) {
	cues, notes, err := s.Clubs.Cues(ctx, actor(ctx), in.Ref)
	out := HandedCues{Items: make([]HandedCue, len(cues)), Notes: notes}
	for i, q := range cues {
		out.Items[i] = HandedCue{q.ID, q.Fault, q.Drill, q.AssessmentID, q.HandedOn, q.DoneOn}
	}
	return &Answer[HandedCues]{out}, err
}

// A CueMark says when a correction was done.
type CueMark struct {
	DoneOn *string `json:"done_on" format:"date" nullable:"true" doc:"The day; null: not done"`
}

func (s *Server) markCue(ctx context.Context, in *struct {
	OfPlayer
	Body CueMark
}) (*struct{}, error) {
	return nil, s.Clubs.MarkCue(ctx, actor(ctx), in.Ref, in.ID, in.Body.DoneOn)
}
