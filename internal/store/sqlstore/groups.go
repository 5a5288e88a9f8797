package sqlstore

import (
	"context"
	"fmt"
	"slices"

	"rootcue/internal/store"
)

// PutGroup implements store.Groups. Who stays keeps the time since when.
func (t *tx) PutGroup(ctx context.Context, name string, refs []string) (store.Group, error) {
	g := store.Group{Name: name, CreatedAt: t.now, UpdatedAt: t.now}
	if err := insert(ctx, t, "player_groups", "ON CONFLICT (club_id, name) DO UPDATE SET updated_at = excluded.updated_at", g); err != nil {
		return g, err
	}
	refs = slices.Compact(slices.Sorted(slices.Values(refs)))
	now, err := t.Members(ctx, name)
	if err != nil {
		return g, err
	}
	for _, m := range now {
		if _, stays := slices.BinarySearch(refs, m.PlayerRef); !stays {
			if _, err := t.remove(ctx, "group_members", "group_name = ? AND player_ref = ?", name, m.PlayerRef); err != nil {
				return g, err
			}
		}
	}
	members := make([]store.Membership, len(refs))
	for i, ref := range refs {
		members[i] = store.Membership{GroupName: name, PlayerRef: ref, At: t.now}
	}
	if err := insert(ctx, t, "group_members", "ON CONFLICT (club_id, group_name, player_ref) DO NOTHING", members...); err != nil {
		return g, err
	}
	return t.Group(ctx, name)
}

// Group implements store.Groups.
func (t *tx) Group(ctx context.Context, name string) (store.Group, error) {
	return one[store.Group](ctx, t, "player_groups", "AND name = ?", name)
}

// Groups implements store.Groups.
func (t *tx) Groups(ctx context.Context, after string, limit int) ([]store.Group, error) {
	return list[store.Group](ctx, t, "player_groups", "AND name > ? ORDER BY name LIMIT ?", after, bounded(limit))
}

// Members implements store.Groups.
func (t *tx) Members(ctx context.Context, names ...string) ([]store.Membership, error) {
	if len(names) == 0 {
		return []store.Membership{}, nil
	}
	return list[store.Membership](ctx, t, "group_members", "AND group_name IN (?) ORDER BY group_name, player_ref", names)
}

// GroupsOf implements store.Groups.
func (t *tx) GroupsOf(ctx context.Context, ref string) ([]string, error) {
	names := []string{}
	err := each(ctx, t, "group_members", "AND player_ref = ? ORDER BY group_name", []any{ref}, func(m store.Membership) error {
		names = append(names, m.GroupName)
		return nil
	})
	return names, err
}

// DeleteGroup implements store.Groups.
func (t *tx) DeleteGroup(ctx context.Context, name string) error {
	if _, err := t.remove(ctx, "group_members", "group_name = ?", name); err != nil {
		return err
	}
	n, err := t.remove(ctx, "player_groups", "name = ?", name)
	if err == nil && n == 0 {
		err = fmt.Errorf("%w in player_groups: %s", store.ErrNotFound, name)
	}
	return err
}
