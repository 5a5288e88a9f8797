package club

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"hash"

	"rootcue/internal/store"
)

// TryoutMark differs whenever anything of a tryout does: its settings, roster,
// grades, recusals, decisions. It costs reading them, and none of the judging.
func (c *Clubs) TryoutMark(ctx context.Context, a Actor, id string) (string, error) {
	sum := sha256.New()
	err := c.view(ctx, a, func(tx store.Tx) error {
		t, err := tx.Tryout(ctx, id)
		if err != nil {
			return err
		}
		return markOf(ctx, tx, t, sum)
	})
	return base64.RawURLEncoding.EncodeToString(sum.Sum(nil)[:12]), err
}

func markOf(ctx context.Context, tx store.Tx, t store.Tryout, sum hash.Hash) error {
	roster, err := tx.Roster(ctx, t.ID)
	if err != nil {
		return err
	}
	grades, err := tx.Grades(ctx, t.ID)
	if err != nil {
		return err
	}
	recusals, err := tx.Recusals(ctx, t.ID)
	if err != nil {
		return err
	}
	decisions, err := tx.Decisions(ctx, t.ID)
	if err != nil {
		return err
	}
	return json.NewEncoder(sum).Encode([]any{t, roster, grades, recusals, decisions})
}
