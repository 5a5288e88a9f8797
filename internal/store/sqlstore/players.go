package sqlstore

import (
	"context"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"

	"rootcue/internal/store"
)

// Player implements store.Players.
func (t *tx) Player(ctx context.Context, ref string) (store.Player, error) {
	return one[store.Player](ctx, t, "players", "AND ref = ?", ref)
}

// PlayerByID implements store.Players.
func (t *tx) PlayerByID(ctx context.Context, id string) (store.Player, error) {
	return one[store.Player](ctx, t, "players", "AND id = ?", id)
}

// PutPlayer implements store.Players.
func (t *tx) PutPlayer(ctx context.Context, p store.Player) (store.Player, error) {
	p.ID, p.CreatedAt, p.UpdatedAt = store.NewSurrogate(), t.now, t.now
	if p.Groups == nil {
		p.Groups = store.Strings{}
	}
	rest := "ON CONFLICT (club_id, ref) DO UPDATE SET updated_at = excluded.updated_at"
	for _, c := range shapeOf(reflect.TypeFor[store.Player]()).columns {
		if !slices.Contains([]string{"id", "ref", "created_at", "updated_at"}, c) {
			rest += ", " + c + " = excluded." + c
		}
	}
	if err := insert(ctx, t, "players", rest, p); err != nil {
		return store.Player{}, err
	}
	return t.Player(ctx, p.Ref)
}

// EnsurePlayers implements store.Players. The references go in sorted, so that
// two transactions never wait for each other.
func (t *tx) EnsurePlayers(ctx context.Context, refs ...string) error {
	refs = slices.Compact(slices.Sorted(slices.Values(refs)))
	for chunk := range slices.Chunk(refs, valuesPerInsert) {
		if err := t.ensure(ctx, chunk); err != nil {
			return err
		}
	}
	return nil
}

// ensure makes the players that are missing and keeps all: one that is being
// erased meanwhile is made anew.
func (t *tx) ensure(ctx context.Context, refs []string) error {
	for {
		if t.db.dialect == postgres {
			kept, err := t.exec(ctx, "SELECT 1 FROM players WHERE club_id = ? AND ref IN (?) FOR KEY SHARE", t.club, refs)
			if err != nil || kept == int64(len(refs)) {
				return err
			}
		}
		players := make([]store.Player, len(refs))
		for i, ref := range refs {
			players[i] = store.Player{ID: store.NewSurrogate(), Ref: ref, Groups: store.Strings{}, CreatedAt: t.now, UpdatedAt: t.now}
		}
		if err := insert(ctx, t, "players", "ON CONFLICT (club_id, ref) DO NOTHING", players...); err != nil || t.db.dialect == sqlite {
			return err
		}
	}
}

// Players implements store.Players.
func (t *tx) Players(ctx context.Context, group, after string, limit int) ([]store.Player, error) {
	rest, args := "AND ref > ? ", []any{after}
	if group != "" {
		word, err := json.Marshal(group) // as it stands in the column's JSON array
		if err != nil {
			return nil, fmt.Errorf("%w: group: %w", store.ErrInvalid, err)
		}
		rest, args = rest+"AND "+t.db.dialect.contains("groups")+" ", append(args, string(word))
	}
	return list[store.Player](ctx, t, "players", rest+"ORDER BY ref LIMIT ?", append(args, bounded(limit))...)
}

// bounded is how many rows a list gives: limit, if that is within bounds.
func bounded(limit int) int {
	if limit < 1 || limit > store.MaxPage {
		return store.MaxPage
	}
	return limit
}
