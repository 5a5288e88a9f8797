package api

import (
	"context"

	"rootcue/internal/store"
)

func (s *Server) linkRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/v1/links", ID: "list-links", Tag: "Review", Summary: "List report links", Role: Edit, Also: []Kind{Unavailable},
		Description: "Newest first, ended and revoked ones too. A link's address is never shown again.",
	}, s.listLinks)
	Add(s, Route{
		Method: "POST", Path: "/v1/links", ID: "add-link", Tag: "Review", Summary: "Make a report link for a family", Role: Edit, Also: []Kind{NotFound, Conflict, Unavailable},
		Description: "Whoever has the link reads this one report without a key, until it ends or is revoked. An instructor must have released the assessment first, unless the club's settings say otherwise. The answer holds the address, this once; for the same reason no Idempotency-Key is taken here.",
	}, s.addLink)
	Add(s, Route{
		Method: "DELETE", Path: "/v1/links/{id}", ID: "revoke-link", Tag: "Review", Summary: "Revoke a report link", Role: Edit, Also: []Kind{Unavailable}, Status: 204,
		Description: "It opens nothing from now on.",
	}, s.revokeLink)
	Add(s, Route{
		Method: "GET", Path: "/v1/links/{token}/report", ID: "open-link", Tag: "Review", Summary: "Read a report by its link",
		Description: "The family's page, without a key: what the instructor released, under the cautions of today. No search engine lists it, no cache keeps it, and only origins of the club's settings may embed it. A link that is unknown, ended or revoked, or whose assessment was replaced or is not released any more, is not there.",
		Answer:      Text("text/html"), Also: []Kind{Unavailable},
	}, s.openLink)
}

// LinkInfo is a link as it is listed.
type LinkInfo struct {
	ID         string      `json:"id" doc:"Its id"`
	Assessment string      `json:"assessment" doc:"The id of the assessment it shows"`
	Who        string      `json:"who" doc:"The id of the key that made it"`
	CreatedAt  store.Time  `json:"created_at" doc:"When it was made"`
	Expires    store.Time  `json:"expires" doc:"From when it opens nothing"`
	RevokedAt  *store.Time `json:"revoked_at" doc:"When it was revoked; null: it was not"`
}

func linkInfo(l store.Link) LinkInfo {
	return LinkInfo{l.ID, l.AssessmentID, l.Who, l.CreatedAt, l.Expires, l.RevokedAt}
}

func (s *Server) listLinks(ctx context.Context, in *struct {
	Assessment string `query:"assessment" doc:"Only those of this assessment"`
}) (*Answer[Page[LinkInfo]], error) {
	links, err := s.Clubs.Links(ctx, actor(ctx), in.Assessment)
	items := make([]LinkInfo, len(links))
	for i, l := range links {
		items[i] = linkInfo(l)
	}
	return &Answer[Page[LinkInfo]]{Page[LinkInfo]{Items: items}}, err
}

// A LinkWanted says what a new link shall show.
type LinkWanted struct {
	Assessment string `json:"assessment" format:"uuid" doc:"The id of the assessment"`
	Days       int    `json:"days,omitempty" minimum:"1" maximum:"366" default:"30" doc:"How many days it lasts"`
}

// A LinkMade is a new link.
type LinkMade struct {
	Path string `json:"path" doc:"The report's address on this server, shown this once"`
	LinkInfo
}

func (s *Server) addLink(ctx context.Context, in *struct{ Body LinkWanted }) (*Answer[LinkMade], error) {
	l, token, err := s.Clubs.AddLink(ctx, actor(ctx), in.Body.Assessment, in.Body.Days)
	return &Answer[LinkMade]{LinkMade{"/v1/links/" + token + "/report", linkInfo(l)}}, err
}

func (s *Server) revokeLink(ctx context.Context, in *ByID) (*struct{}, error) {
	return nil, s.Clubs.RevokeLink(ctx, actor(ctx), in.ID)
}

func (s *Server) openLink(ctx context.Context, in *struct {
	Token string `path:"token" maxLength:"100" doc:"The link's token"`
	ReportQuery
}) (*ReportPage, error) {
	if s.Clubs == nil {
		return nil, NotFound.Say("this server keeps no reports")
	}
	r, err := s.Clubs.OpenLink(ctx, in.Token)
	if err != nil {
		return nil, err
	}
	return reportPage(r, in.language(), true)
}
