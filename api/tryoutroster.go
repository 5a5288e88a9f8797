package api

import (
	"context"

	"github.com/danielgtaylor/huma/v2"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

func (s *Server) rosterRoutes() {
	Add(s, Route{
		Method: "POST", Path: "/v1/tryouts/{id}/roster", ID: "add-roster", Tag: tryoutTag, Summary: "Put players on the roster", Role: Edit, Replayable: true, Also: []Kind{Conflict, Unavailable},
		Description: "A list as JSON, or a table as CSV with the columns `bib` and `player`; early or, for who arrives late, at any time before closing. Good lines are kept beside bad ones, which are refused by their number. A line known already is answered `same`.",
		Body:        &Form{rosterSchema, []string{jsonType, csvType}},
	}, s.addRoster)
	Add(s, Route{
		Method: "GET", Path: "/v1/tryouts/{id}/roster", ID: "read-roster", Tag: tryoutTag, Summary: "Read the roster", Role: Submit, Also: []Kind{Unavailable},
		Description: "By bib, withdrawn players too.",
	}, s.readRoster)
	Add(s, Route{
		Method: "PUT", Path: "/v1/tryouts/{id}/roster/{bib}", ID: "withdraw-bib", Tag: tryoutTag, Summary: "Withdraw a player, or take one back", Role: Edit, Replayable: true, Also: []Kind{Conflict, Unavailable},
		Description: "Grades of a withdrawn player are kept and left out of the standing; new ones are refused.",
	}, s.withdrawBib)
	Add(s, Route{
		Method: "POST", Path: "/v1/tryouts/{id}/bibs", ID: "correct-bibs", Tag: tryoutTag, Summary: "Correct bibs", Role: Edit, Replayable: true, Also: []Kind{Conflict, Unavailable},
		Description: "All at once, so that two bibs can be swapped. Grades, recusals and decisions follow the player, and the log says so. A grade that comes late under the old bib is refused with the new one named.",
	}, s.correctBibs)
}

// A RosterPlayer ties a bib to a player.
type RosterPlayer struct {
	Bib    string `json:"bib" maxLength:"20" doc:"The number on the player's back"`
	Player string `json:"player" maxLength:"200" doc:"The club's reference of the player"`
}

func rosterSchema(r schemas) *huma.Schema {
	return either("One player, or a list of them", schemaOf[RosterPlayer](r), list("Players", schemaOf[RosterPlayer](r)))
}

// RosterAnswers answer lines of a roster.
type RosterAnswers struct {
	Lines []RosterAnswer `json:"lines" doc:"One a line, in order"`
	Done  club.Done      `json:"done" doc:"How many of each status"`
}

// A RosterAnswer is what became of one line.
type RosterAnswer struct {
	Line    int      `json:"line" doc:"Of a table, with the header as line 1; of a list, the player's number"`
	Status  string   `json:"status" enum:"stored,same,refused" doc:"What became of it"`
	Problem *Problem `json:"problem,omitempty" doc:"Why it was refused"`
}

func (s *Server) addRoster(ctx context.Context, in *struct {
	ByID
	ContentType string `header:"Content-Type" hidden:"true"`
	RawBody     []byte
}) (*Answer[RosterAnswers], error) {
	lines, err := s.Clubs.AddRoster(ctx, actor(ctx), in.ID, in.RawBody, baseType(in.ContentType) == csvType)
	out, tale := RosterAnswers{Lines: make([]RosterAnswer, len(lines))}, tale{}
	for i, l := range lines {
		out.Lines[i] = RosterAnswer{l.Line, l.Status, tale.of(l.Slips)}
		out.Done.Count(l.Status)
	}
	return &Answer[RosterAnswers]{out}, err
}

// A RosterItem is a player on the roster.
type RosterItem struct {
	RosterPlayer
	WithdrawnAt *store.Time `json:"withdrawn_at" doc:"When the player was withdrawn; null: takes part"`
	At          store.Time  `json:"at" doc:"When the player came onto the roster"`
	LastLook    int         `json:"last_look" doc:"The largest look that the evaluator asked for has given; 0: none, or nobody was asked for"`
}

func rosterItem(e store.RosterEntry, look int) RosterItem {
	return RosterItem{RosterPlayer{e.Bib, e.PlayerRef}, e.WithdrawnAt, e.At, look}
}

func (s *Server) readRoster(ctx context.Context, in *struct {
	ByID
	Evaluator string `query:"evaluator" maxLength:"100" doc:"Whose looks last_look gives" example:"E1"`
}) (*Answer[Page[RosterItem]], error) {
	list, err := s.Clubs.Roster(ctx, actor(ctx), in.ID, in.Evaluator)
	items := make([]RosterItem, len(list))
	for i, e := range list {
		items[i] = rosterItem(e.RosterEntry, e.LastLook)
	}
	return &Answer[Page[RosterItem]]{Page[RosterItem]{Items: items}}, err
}

// OfBib names a bib of a tryout in the path.
type OfBib struct {
	ByID
	Bib string `path:"bib" maxLength:"20" doc:"The bib" example:"14"`
}

// Withdrawal says whether a player takes part.
type Withdrawal struct {
	Withdrawn bool `json:"withdrawn" doc:"true: withdrawn; false: takes part, again"`
}

func (s *Server) withdrawBib(ctx context.Context, in *struct {
	OfBib
	Body Withdrawal
}) (*Answer[RosterItem], error) {
	e, err := s.Clubs.Withdraw(ctx, actor(ctx), in.ID, in.Bib, in.Body.Withdrawn)
	return &Answer[RosterItem]{rosterItem(e, 0)}, err
}

// BibChanges are corrections of bibs.
type BibChanges struct {
	Changes []club.BibChange `json:"changes" minItems:"1" maxItems:"1000" doc:"Done all at once"`
}

func (s *Server) correctBibs(ctx context.Context, in *struct {
	ByID
	Body BibChanges
}) (*Answer[Page[RosterItem]], error) {
	if err := s.Clubs.CorrectBibs(ctx, actor(ctx), in.ID, in.Body.Changes); err != nil {
		return nil, err
	}
	list, err := s.Clubs.Roster(ctx, actor(ctx), in.ID, "")
	items := make([]RosterItem, len(list))
	for i, e := range list {
		items[i] = rosterItem(e.RosterEntry, 0)
	}
	return &Answer[Page[RosterItem]]{Page[RosterItem]{Items: items}}, err
}
