package store

import "context"

// A Group is a list of players under a name, such as those who practise
// together.
type Group struct {
	Name      string `db:"name" json:"name"` // unique in the club
	CreatedAt Time   `db:"created_at" json:"created_at"`
	UpdatedAt Time   `db:"updated_at" json:"updated_at"`
}

// A Membership says that a player is in a group.
type Membership struct {
	GroupName string `db:"group_name" json:"group"`
	PlayerRef string `db:"player_ref" json:"player"`
	At        Time   `db:"at" json:"at"` // since when
}

// Groups are the club's lists of players.
type Groups interface {
	// PutGroup makes or replaces a group: from now on its members are the
	// players given, who must be known, else ErrInvalid.
	PutGroup(ctx context.Context, name string, refs []string) (Group, error)

	// Group finds a group by its name, else ErrNotFound.
	Group(ctx context.Context, name string) (Group, error)

	// Groups lists by name, from the first one after the given one.
	Groups(ctx context.Context, after string, limit int) ([]Group, error)

	// Members lists who is in the given groups, by group and reference.
	Members(ctx context.Context, names ...string) ([]Membership, error)

	// GroupsOf names the groups a player is in.
	GroupsOf(ctx context.Context, ref string) ([]string, error)

	// DeleteGroup deletes a group, not its players; else ErrNotFound.
	DeleteGroup(ctx context.Context, name string) error
}
