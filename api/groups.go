package api

import (
	"context"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

func (s *Server) groupRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/v1/groups", ID: "list-groups", Tag: "Groups", Summary: "List groups", Role: Read, Also: []Kind{Unavailable},
		Description: "By name, with who is in them.",
	}, s.listGroups)
	Add(s, Route{
		Method: "GET", Path: "/v1/groups/{name}", ID: "read-group", Tag: "Groups", Summary: "Read a group", Role: Read, Also: []Kind{Unavailable},
		Description: "Who is in it.",
	}, s.readGroup)
	Add(s, Route{
		Method: "PUT", Path: "/v1/groups/{name}", ID: "put-group", Tag: "Groups", Summary: "Make or replace a group", Role: Edit, Replayable: true, Also: []Kind{Changed, Unavailable},
		Description: "The whole list: who is left out is in it no more. Everybody in it must be a player of the club. Workload policies that the settings put in force for a team of the group's name hold for its players. With If-Match, nothing is changed if somebody else changed it since it was read; with `If-None-Match: *`, only a new group is made.",
	}, s.putGroup)
	Add(s, Route{
		Method: "DELETE", Path: "/v1/groups/{name}", ID: "delete-group", Tag: "Groups", Summary: "Delete a group", Role: Edit, Also: []Kind{Unavailable}, Status: 204,
		Description: "Its players stay.",
	}, s.deleteGroup)
	Add(s, Route{
		Method: "POST", Path: "/v1/groups/{name}/plan", ID: "plan-group", Tag: "Groups", Summary: "Plan a practice for a group", Role: Read, Also: []Kind{Unavailable},
		Description: "Who does which drill in which turn, so that the whole group gains most, by each player's latest assessments with the instructor's word. Throws are bounded by the ledger and the policies in force for the player on that day; a stop leaves no turn that throws. " +
			"Stations left out are the drills of the rubrics in force that would help somebody, with their places, throws and helpers, one dose a turn. Nothing is kept. A key of role read or submit learns that a caution applies, not why; that an instructor or admin saw health entries is logged.",
	}, s.planGroup)
}

// ByGroup names a group in the path.
type ByGroup struct {
	Name string `path:"name" pattern:"^[a-z0-9]+(-[a-z0-9]+)*$" maxLength:"100" doc:"The group's name: lower-case words joined by -" example:"monday-catchers"`
}

// GroupInfo is a group.
type GroupInfo struct {
	Name      string     `json:"name" doc:"Its name"`
	Players   []string   `json:"players" doc:"The club's references, in order"`
	CreatedAt store.Time `json:"created_at" doc:"When it was made"`
	UpdatedAt store.Time `json:"updated_at" doc:"When it was last put"`
}

func groupInfo(g club.Group) GroupInfo {
	return GroupInfo{g.Name, g.Players, g.CreatedAt, g.UpdatedAt}
}

// groupTag is a group's ETag: when it was last put.
func groupTag(g store.Group) string { return `"` + g.UpdatedAt.String() + `"` }

// A GroupRead is a group with what a change must name.
type GroupRead struct {
	ETag     string `header:"ETag" hidden:"true"`
	Location string `header:"Location" hidden:"true"`
	Body     GroupInfo
}

func (s *Server) listGroups(ctx context.Context, in *struct{ Paging }) (*Paged[GroupInfo], error) {
	l, err := s.Clubs.Groups(ctx, actor(ctx), in.Next, in.Limit)
	if err != nil {
		return nil, err
	}
	items := make([]GroupInfo, len(l.Items))
	for i, g := range l.Items {
		items[i] = groupInfo(g)
	}
	return paged("/v1/groups", filled("limit", number0(in.Limit)), items, l.Next), nil
}

func (s *Server) readGroup(ctx context.Context, in *ByGroup) (*GroupRead, error) {
	g, err := s.Clubs.Group(ctx, actor(ctx), in.Name)
	return &GroupRead{ETag: groupTag(g.Group), Body: groupInfo(g)}, err
}

// A GroupPut is who is in a group.
type GroupPut struct {
	Players []string `json:"players" maxItems:"100" doc:"The club's references of its players, each once"`
}

func (s *Server) putGroup(ctx context.Context, in *struct {
	ByGroup
	IfMatch     string `header:"If-Match" doc:"The ETag that the change was made from"`
	IfNoneMatch string `header:"If-None-Match" doc:"* to make a new group only"`
	Body        GroupPut
}) (*GroupRead, error) {
	g, made, err := s.Clubs.PutGroup(ctx, actor(ctx), in.Name, in.Body.Players, func(now store.Group, there bool) bool {
		return (in.IfMatch == "" || there && SameTag(in.IfMatch, groupTag(now))) && !(in.IfNoneMatch == "*" && there)
	})
	out := &GroupRead{ETag: groupTag(g.Group), Body: groupInfo(g)}
	if made {
		out.Location = "/v1/groups/" + g.Name
	}
	return out, err
}

func (s *Server) deleteGroup(ctx context.Context, in *ByGroup) (*struct{}, error) {
	return nil, s.Clubs.DeleteGroup(ctx, actor(ctx), in.Name)
}

func (s *Server) planGroup(ctx context.Context, in *struct {
	ByGroup
	Body club.PracticeAsked
}) (*Answer[club.GroupPlan], error) {
	plan, err := s.Clubs.PlanGroup(ctx, actor(ctx), in.Name, in.Body)
	return &Answer[club.GroupPlan]{plan}, err
}
