package sqlstore

import (
	"context"
	"fmt"

	"rootcue/internal/store"
)

// Club implements store.Settings.
func (t *tx) Club(ctx context.Context) (store.Club, error) {
	if t.own != nil {
		return *t.own, nil
	}
	clubs, err := collect[store.Club](ctx, t, "SELECT id, name, settings, created_at, log_key, log_seq, log_hash FROM clubs WHERE id = ?", []any{t.club})
	if err == nil && len(clubs) == 0 {
		err = fmt.Errorf("%w: club %s", store.ErrNotFound, t.club)
	}
	if err != nil {
		return store.Club{}, err
	}
	t.own = &clubs[0]
	return *t.own, nil
}

// PutSettings implements store.Settings.
func (t *tx) PutSettings(ctx context.Context, settings store.JSON) error {
	t.own = nil
	n, err := t.exec(ctx, "UPDATE clubs SET settings = ? WHERE id = ?", settings, t.club)
	if err == nil && n == 0 {
		err = fmt.Errorf("%w: club %s", store.ErrNotFound, t.club)
	}
	return err
}

// AddKey implements store.Keys.
func (t *tx) AddKey(ctx context.Context, k store.Key) (store.Key, error) {
	t.begin(&k.ID, &k.CreatedAt)
	return k, insert(ctx, t, "keys", "", k)
}

// Key implements store.Keys.
func (t *tx) Key(ctx context.Context, id string) (store.Key, error) {
	return one[store.Key](ctx, t, "keys", "AND id = ?", id)
}

// Keys implements store.Keys.
func (t *tx) Keys(ctx context.Context) ([]store.Key, error) {
	return list[store.Key](ctx, t, "keys", "ORDER BY created_at, id")
}

// RevokeKey implements store.Keys. It ends the key's sessions too.
func (t *tx) RevokeKey(ctx context.Context, id string) error {
	if err := t.update(ctx, "keys", "revoked_at = coalesce(revoked_at, ?)", "id = ?", t.now, id); err != nil {
		return err
	}
	_, err := t.remove(ctx, "sessions", "key_id = ?", id)
	return err
}

// TouchKey implements store.Keys.
func (t *tx) TouchKey(ctx context.Context, id string) error {
	return t.update(ctx, "keys", "last_used = ?", "id = ?", t.now, id)
}

// AddSession implements store.Sessions.
func (t *tx) AddSession(ctx context.Context, s store.Session) error {
	t.date(&s.CreatedAt)
	return insert(ctx, t, "sessions", "", s)
}

// EndSession implements store.Sessions.
func (t *tx) EndSession(ctx context.Context, hash string) error {
	_, err := t.remove(ctx, "sessions", "hash = ?", hash)
	return err
}

// begin fills in the id and time of a new row where the caller left them out.
func (t *tx) begin(id *string, at *store.Time) {
	if *id == "" {
		*id = store.NewID()
	}
	t.date(at)
}

func (t *tx) date(at *store.Time) {
	if at.IsZero() {
		*at = t.now
	}
}
