package club

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"

	"rootcue/engine/place"
	"rootcue/internal/store"
)

// A Group is a list of players under a name, such as those who practise
// together.
type Group struct {
	store.Group
	Players []string // references, in order
}

// Group gives a group with its members.
func (c *Clubs) Group(ctx context.Context, a Actor, name string) (g Group, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		g, err = groupOf(ctx, tx, name)
		return err
	})
	return g, err
}

func groupOf(ctx context.Context, tx store.Tx, name string) (g Group, err error) {
	if g.Group, err = tx.Group(ctx, name); err != nil {
		return g, err
	}
	members, err := tx.Members(ctx, name)
	g.Players = []string{}
	for _, m := range members {
		g.Players = append(g.Players, m.PlayerRef)
	}
	return g, err
}

// Groups lists groups by name.
func (c *Clubs) Groups(ctx context.Context, a Actor, cursor string, limit int) (l List[Group], err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		own, err := tx.Club(ctx)
		if err != nil {
			return err
		}
		after, err := unseal(own, "groups", cursor)
		if err != nil {
			return err
		}
		rows, err := tx.Groups(ctx, after, limit+1)
		if err != nil {
			return err
		}
		if len(rows) > limit {
			rows = rows[:limit]
			l.Next = seal(own, "groups", rows[limit-1].Name)
		}
		for _, row := range rows {
			g, err := groupOf(ctx, tx, row.Name)
			if err != nil {
				return err
			}
			l.Items = append(l.Items, g)
		}
		return nil
	})
	return l, err
}

// PutGroup makes a group or replaces its members, who must be players of the
// club: a slip of the pen makes nobody known, and one who was erased does not
// come back with an old list. base tells whether the caller built on what stands
// now; if not, the answer is ErrChanged. made tells whether the group is new.
func (c *Clubs) PutGroup(ctx context.Context, a Actor, name string, refs []string, base func(store.Group, bool) bool) (g Group, made bool, err error) {
	err = c.write(ctx, a, func(tx store.Tx) error {
		if err := tx.TakeTurn(ctx); err != nil {
			return err
		}
		was, err := groupOf(ctx, tx, name)
		made = errors.Is(err, store.ErrNotFound)
		if err != nil && !made {
			return err
		}
		if !base(was.Group, !made) {
			return ErrChanged
		}
		if err := checkMembers(ctx, tx, refs); err != nil {
			return err
		}
		if _, err := tx.PutGroup(ctx, name, refs); err != nil {
			return err
		}
		if g, err = groupOf(ctx, tx, name); err != nil {
			return err
		}
		what := "group.changed"
		if made {
			what = "group.made"
		}
		return logged(ctx, tx, a.KeyID, what, "group/"+name, map[string]any{"joined": missing(g.Players, was.Players), "left": missing(was.Players, g.Players)})
	})
	return g, made, err
}

// missing counts those of a who are not in b: the log holds no reference.
func missing(a, b []string) (n int) {
	for _, ref := range a {
		if !slices.Contains(b, ref) {
			n++
		}
	}
	return n
}

// checkMembers refuses references that are no player's.
func checkMembers(ctx context.Context, tx store.Tx, refs []string) error {
	var slips []place.Problem
	for i, ref := range refs {
		if first := slices.Index(refs, ref); first < i {
			slips = append(slips, place.Problem{Code: "player-twice", Pointer: fmt.Sprintf("/players/%d", i), Found: strconv.Quote(ref), Wanted: "each player once", Hint: fmt.Sprintf("the same as /players/%d", first)})
		} else if _, err := tx.Player(ctx, ref); isNotFound(err) {
			slips = append(slips, place.Problem{Code: "unknown-player", Pointer: fmt.Sprintf("/players/%d", i), Found: strconv.Quote(ref), Wanted: "the reference of a player of the club", Hint: "put the player first, or submit an observation"})
		} else if err != nil {
			return err
		}
	}
	if len(slips) > 0 {
		return &Refusal{slips}
	}
	return nil
}

// DeleteGroup deletes a group; its players stay.
func (c *Clubs) DeleteGroup(ctx context.Context, a Actor, name string) error {
	return c.write(ctx, a, func(tx store.Tx) error {
		if err := tx.DeleteGroup(ctx, name); err != nil {
			return err
		}
		return logged(ctx, tx, a.KeyID, "group.deleted", "group/"+name, struct{}{})
	})
}
