package sqlstore

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"rootcue/internal/store"
)

type activeDocument struct {
	Kind    string `db:"kind"`
	Name    string `db:"name"`
	Version int    `db:"version"`
}

// An activeName is what has one active version.
type activeName struct{ kind, name string }

// Publish implements store.Documents. Of two who publish on the same base one
// meets the other's primary key.
func (t *tx) Publish(ctx context.Context, d store.Document, base int) (store.Document, error) {
	newest, err := t.newest(ctx, "documents", "version", "kind = ? AND name = ?", d.Kind, d.Name)
	if err != nil {
		return d, err
	}
	if newest != base {
		return d, fmt.Errorf("%w: %s %s is at version %d, this builds on %d", store.ErrConflict, d.Kind, d.Name, newest, base)
	}
	sum := sha256.Sum256(d.Source)
	d.Version, d.SHA256 = base+1, hex.EncodeToString(sum[:])
	t.date(&d.At)
	if d.EffectiveFrom == "" {
		d.EffectiveFrom = d.At.Date()
	}
	if err := insert(ctx, t, "documents", "", d); err != nil {
		return d, err
	}
	return d, t.activate(ctx, d.Kind, d.Name, d.Version)
}

// newest is the highest number in a column of the club's rows, 0 for no row.
func (t *tx) newest(ctx context.Context, table, column, where string, args ...any) (int, error) {
	var n int
	err := t.value(ctx, "SELECT coalesce(max("+column+"), 0) FROM "+table+" WHERE "+where+" AND club_id = ?", append(args, t.club), &n)
	return n, err
}

// Activate implements store.Documents.
func (t *tx) Activate(ctx context.Context, kind, name string, version int) error {
	if _, err := t.Document(ctx, kind, name, version); err != nil {
		return err
	}
	return t.activate(ctx, kind, name, version)
}

func (t *tx) activate(ctx context.Context, kind, name string, version int) error {
	t.active = nil
	const rest = "ON CONFLICT (club_id, kind, name) DO UPDATE SET version = excluded.version"
	return insert(ctx, t, "active_documents", rest, activeDocument{kind, name, version})
}

// Document implements store.Documents.
func (t *tx) Document(ctx context.Context, kind, name string, version int) (store.Document, error) {
	return one[store.Document](ctx, t, "documents", "AND kind = ? AND name = ? AND version = ?", kind, name, version)
}

const isActive = `AND EXISTS (SELECT 1 FROM active_documents a WHERE a.club_id = documents.club_id AND a.kind = documents.kind
  AND a.name = documents.name AND a.version = documents.version) `

// ActiveDocument implements store.Documents.
func (t *tx) ActiveDocument(ctx context.Context, kind, name string) (store.Document, error) {
	return one[store.Document](ctx, t, "documents", "AND kind = ? AND name = ? "+isActive, kind, name)
}

// ActiveVersion implements store.Documents.
func (t *tx) ActiveVersion(ctx context.Context, kind, name string) (int, error) {
	if t.active == nil {
		active := map[activeName]int{}
		err := each(ctx, t, "active_documents", "", nil, func(d activeDocument) error {
			active[activeName{d.Kind, d.Name}] = d.Version
			return nil
		})
		if err != nil {
			return 0, err
		}
		t.active = active
	}
	if n, ok := t.active[activeName{kind, name}]; ok {
		return n, nil
	}
	return 0, fmt.Errorf("%w in active_documents: %s %s", store.ErrNotFound, kind, name)
}

// ActiveDocuments implements store.Documents.
func (t *tx) ActiveDocuments(ctx context.Context, kind string) ([]store.Document, error) {
	return list[store.Document](ctx, t, "documents", "AND kind = ? "+isActive+"ORDER BY name", kind)
}

// Versions implements store.Documents.
func (t *tx) Versions(ctx context.Context, kind, name string) ([]store.Document, error) {
	return list[store.Document](ctx, t, "documents", "AND kind = ? AND name = ? ORDER BY version DESC", kind, name)
}
