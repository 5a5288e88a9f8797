package api

import (
	"context"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

func (s *Server) decisionRoutes() {
	Add(s, Route{
		Method: "POST", Path: "/v1/tryouts/{id}/decisions", ID: "add-decision", Tag: tryoutTag, Summary: "Record a decision or an appeal", Role: Edit, Replayable: true, Also: []Kind{Unavailable},
		Description: "What the club decided on a player, beside the standing and not by it, with what the player is told; or an appeal. Nothing is overwritten: the last decision on a bib counts. Before and after closing.",
	}, s.addDecision)
	Add(s, Route{
		Method: "GET", Path: "/v1/tryouts/{id}/decisions", ID: "list-decisions", Tag: tryoutTag, Summary: "List decisions and appeals", Role: Edit, Also: []Kind{Unavailable},
		Description: "Oldest first, and who still waits: every player of the roster, chosen or not, is to be told something.",
	}, s.listDecisions)
}

// A DecisionPut is a decision or an appeal.
type DecisionPut struct {
	Bib  string `json:"bib" maxLength:"20" doc:"On whom"`
	Kind string `json:"kind" enum:"decision,appeal" doc:"decision: chosen is needed; appeal: why is"`
	club.Ruling
}

// A Decision is one as it is kept.
type Decision struct {
	ID string `json:"id" doc:"Its id"`
	DecisionPut
	Who string     `json:"who" doc:"The id of the key that recorded it"`
	At  store.Time `json:"at" doc:"When it was recorded"`
}

func decisionOf(r club.Ruled) Decision {
	return Decision{r.ID, DecisionPut{r.Bib, r.Kind, r.Ruling}, r.Who, r.At}
}

func (s *Server) addDecision(ctx context.Context, in *struct {
	ByID
	Body DecisionPut
}) (*Answer[Decision], error) {
	r := in.Body.Ruling
	r.Bib, r.Kind = in.Body.Bib, in.Body.Kind
	kept, err := s.Clubs.Rule(ctx, actor(ctx), in.ID, r)
	return &Answer[Decision]{decisionOf(kept)}, err
}

// Decisions are all of a tryout.
type Decisions struct {
	Items           []Decision `json:"items" doc:"Oldest first"`
	Undecided       []string   `json:"undecided" doc:"Bibs on which nothing was decided"`
	WithoutFeedback []string   `json:"without_feedback" doc:"Bibs that were told nothing yet"`
}

func (s *Server) listDecisions(ctx context.Context, in *ByID) (*Answer[Decisions], error) {
	l, err := s.Clubs.Rulings(ctx, actor(ctx), in.ID)
	out := Decisions{make([]Decision, len(l.Items)), l.Undecided, l.WithoutFeedback}
	for i, r := range l.Items {
		out.Items[i] = decisionOf(r)
	}
	return &Answer[Decisions]{out}, err
}
