package api

import (
	"context"
	"net/url"

	"rootcue/internal/store"
)

func (s *Server) playerRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/v1/players", ID: "list-players", Tag: "Players", Summary: "List players", Role: Read, Also: []Kind{Unavailable},
		Description: "By reference. A key of role read does not see the stature.",
	}, s.listPlayers)
	Add(s, Route{
		Method: "GET", Path: "/v1/players/{ref}", ID: "read-player", Tag: "Players", Summary: "Read a player", Role: Read, Also: []Kind{Unavailable},
		Description: "What the club says of the player. A key of role read does not see the stature.",
	}, s.readPlayer)
	Add(s, Route{
		Method: "PUT", Path: "/v1/players/{ref}", ID: "put-player", Tag: "Players", Summary: "Make or replace a player", Role: Submit, Replayable: true, Also: []Kind{Changed, Unavailable},
		Description: "The whole of it: what is left out is unknown from now on. A player comes to be by the first observation as well. With If-Match, nothing is changed if somebody else changed it since it was read; with `If-None-Match: *`, only a new player is made.",
	}, s.putPlayer)
}

// A Player is what the club says of a player.
type Player struct {
	Ref          string     `json:"ref" doc:"The club's own reference; no name is needed"`
	Born         *string    `json:"born" doc:"Month of birth, YYYY-MM; null: unknown"`
	Age          *int       `json:"age" doc:"Playing age in years, as stated; null: unknown"`
	AgeOn        *string    `json:"age_on" doc:"The day on which the age was stated"`
	Throws       *string    `json:"throws" doc:"The throwing hand, left or right; null: unknown"`
	StatureCM    *float64   `json:"stature_cm" doc:"Standing height in cm; null: unknown, or not for this key to see"`
	StatureOn    *string    `json:"stature_on" doc:"The day on which the height was taken"`
	Groups       []string   `json:"groups" doc:"Teams and training groups"`
	ConsentOn    *string    `json:"consent_on" doc:"Day of the guardian's written consent"`
	ConsentScope string     `json:"consent_scope" doc:"What was consented to"`
	LegalHold    bool       `json:"legal_hold" doc:"The law makes the club keep the data"`
	CreatedAt    store.Time `json:"created_at" doc:"When the player came to be known"`
	UpdatedAt    store.Time `json:"updated_at" doc:"When this was last changed"`
}

func playerOf(p store.Player) Player {
	groups := []string(p.Groups)
	if groups == nil {
		groups = []string{}
	}
	return Player{p.Ref, p.Born, p.Age, p.AgeOn, p.Throws, p.StatureCM, p.StatureOn, groups, p.ConsentOn, p.ConsentScope, p.LegalHold, p.CreatedAt, p.UpdatedAt}
}

// playerTag is a player's ETag: when it was last changed.
func playerTag(p store.Player) string { return `"` + p.UpdatedAt.String() + `"` }

func (s *Server) listPlayers(ctx context.Context, in *struct {
	Paging
	Group string `query:"group" doc:"A team or training group"`
}) (*Paged[Player], error) {
	l, err := s.Clubs.Players(ctx, actor(ctx), in.Group, in.Next, in.Limit)
	if err != nil {
		return nil, err
	}
	items := make([]Player, len(l.Items))
	for i, p := range l.Items {
		items[i] = playerOf(p)
	}
	return paged("/v1/players", filled("group", in.Group, "limit", number0(in.Limit)), items, l.Next), nil
}

// ByRef names a player in the path.
type ByRef struct {
	Ref string `path:"ref" minLength:"1" maxLength:"200" doc:"The club's reference of the player" example:"P-0733"`
}

// A PlayerRead is a player with what a change must name.
type PlayerRead struct {
	ETag     string `header:"ETag" hidden:"true"`
	Location string `header:"Location" hidden:"true"`
	Body     Player
}

func (s *Server) readPlayer(ctx context.Context, in *ByRef) (*PlayerRead, error) {
	p, err := s.Clubs.Player(ctx, actor(ctx), in.Ref)
	return &PlayerRead{ETag: playerTag(p), Body: playerOf(p)}, err
}

// A PlayerPut is what a club says of a player.
type PlayerPut struct {
	Born         *string  `json:"born,omitempty" pattern:"^\\d{4}-(0[1-9]|1[0-2])$" doc:"Month of birth, YYYY-MM"`
	Age          *int     `json:"age,omitempty" minimum:"1" maximum:"99" doc:"Playing age in years"`
	AgeOn        *string  `json:"age_on,omitempty" format:"date" doc:"The day on which the age was stated; today when left out"`
	Throws       *string  `json:"throws,omitempty" enum:"left,right" doc:"The throwing hand"`
	StatureCM    *float64 `json:"stature_cm,omitempty" minimum:"70" maximum:"230" doc:"Standing height in cm"`
	StatureOn    *string  `json:"stature_on,omitempty" format:"date" doc:"The day on which the height was taken"`
	Groups       []string `json:"groups,omitempty" maxItems:"50" doc:"Teams and training groups, each once"`
	ConsentOn    *string  `json:"consent_on,omitempty" format:"date" doc:"Day of the guardian's written consent"`
	ConsentScope string   `json:"consent_scope,omitempty" maxLength:"500" doc:"What was consented to"`
}

func (s *Server) putPlayer(ctx context.Context, in *struct {
	ByRef
	IfMatch     string `header:"If-Match" doc:"The ETag that the change was made from"`
	IfNoneMatch string `header:"If-None-Match" doc:"* to make a new player only"`
	Body        PlayerPut
}) (*PlayerRead, error) {
	b := in.Body
	p := store.Player{Ref: in.Ref, Born: b.Born, Age: b.Age, AgeOn: b.AgeOn, Throws: b.Throws, StatureCM: b.StatureCM, StatureOn: b.StatureOn, Groups: b.Groups, ConsentOn: b.ConsentOn, ConsentScope: b.ConsentScope}
	kept, made, err := s.Clubs.PutPlayer(ctx, actor(ctx), p, func(now store.Player, there bool) bool {
		return (in.IfMatch == "" || there && SameTag(in.IfMatch, playerTag(now))) && !(in.IfNoneMatch == "*" && there)
	})
	out := &PlayerRead{ETag: playerTag(kept), Body: playerOf(kept)}
	if made {
		out.Location = "/v1/players/" + url.PathEscape(kept.Ref)
	}
	return out, err
}
