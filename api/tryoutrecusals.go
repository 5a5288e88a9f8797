package api

import (
	"context"

	"rootcue/internal/store"
)

func (s *Server) recusalRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/v1/tryouts/{id}/recusals", ID: "list-recusals", Tag: tryoutTag, Summary: "List recusals", Role: Edit, Also: []Kind{Unavailable},
		Description: "Who must not grade whom, by bib.",
	}, s.listRecusals)
	Add(s, Route{
		Method: "PUT", Path: "/v1/tryouts/{id}/recusals/{evaluator}/{bib}", ID: "put-recusal", Tag: tryoutTag, Summary: "Recuse an evaluator from a player", Role: Edit, Replayable: true, Also: []Kind{Conflict, Unavailable},
		Description: "An evaluator who is a player's family, say. Grades of the player by the evaluator are refused from now on; those given already are kept and left out of the standing, which says so. No look of theirs is planned.",
	}, s.putRecusal)
	Add(s, Route{
		Method: "DELETE", Path: "/v1/tryouts/{id}/recusals/{evaluator}/{bib}", ID: "drop-recusal", Tag: tryoutTag, Summary: "Take a recusal back", Role: Edit, Also: []Kind{Conflict, Unavailable}, Status: 204,
		Description: "Grades left out because of it count again.",
	}, s.dropRecusal)
}

// A Recusal keeps an evaluator from grading a player.
type Recusal struct {
	Evaluator string     `json:"evaluator" doc:"Who must not grade"`
	Bib       string     `json:"bib" doc:"Whom"`
	Why       string     `json:"why" doc:"As it was said; no names"`
	Who       string     `json:"who" doc:"The id of the key that recorded it"`
	At        store.Time `json:"at" doc:"When it was recorded"`
}

func recusalOf(r store.Recusal) Recusal { return Recusal{r.Evaluator, r.Bib, r.Why, r.Who, r.At} }

func (s *Server) listRecusals(ctx context.Context, in *ByID) (*Answer[Page[Recusal]], error) {
	list, err := s.Clubs.Recusals(ctx, actor(ctx), in.ID)
	items := make([]Recusal, len(list))
	for i, r := range list {
		items[i] = recusalOf(r)
	}
	return &Answer[Page[Recusal]]{Page[Recusal]{Items: items}}, err
}

// OfEvaluator names an evaluator and a bib of a tryout in the path.
type OfEvaluator struct {
	OfBib
	Evaluator string `path:"evaluator" maxLength:"100" doc:"The evaluator's reference" example:"E2"`
}

// A RecusalPut says why.
type RecusalPut struct {
	Why string `json:"why" minLength:"1" maxLength:"500" doc:"Such as: family; no names"`
}

func (s *Server) putRecusal(ctx context.Context, in *struct {
	OfEvaluator
	Body RecusalPut
}) (*Answer[Recusal], error) {
	r, err := s.Clubs.PutRecusal(ctx, actor(ctx), in.ID, in.Evaluator, in.Bib, in.Body.Why)
	return &Answer[Recusal]{recusalOf(r)}, err
}

func (s *Server) dropRecusal(ctx context.Context, in *OfEvaluator) (*struct{}, error) {
	return nil, s.Clubs.DropRecusal(ctx, actor(ctx), in.ID, in.Evaluator, in.Bib)
}
