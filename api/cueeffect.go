package api

import (
	"context"

	"rootcue/internal/club"
)

func (s *Server) effectRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/v1/rubrics/{name}/faults/{fault}/effect", ID: "cue-effect", Tag: "Progress", Summary: "Did a correction help?", Role: Edit, Also: []Kind{Unavailable},
		Description: "After the correction of a fault was handed out: how the fault's measure changed in the next sessions of the players who got it, beside those who did not, over the whole club. The difference of the mean changes has Welch's 95 % interval. It is a description and claims no cause. Dry and live throws are never mixed. Below 5 players a side nothing is said but how many there are. No player is named.",
	}, s.cueEffect)
}

func (s *Server) cueEffect(ctx context.Context, in *struct {
	OfRubric
	Fault string `path:"fault" pattern:"^[a-z0-9]+(-[a-z0-9]+)*$" maxLength:"100" doc:"A fault of the rubric that has a measure" example:"stride-off-line"`
}) (*Answer[club.CueEffect], error) {
	e, err := s.Clubs.CueEffect(ctx, actor(ctx), in.Name, in.Fault)
	return &Answer[club.CueEffect]{e}, err
}
