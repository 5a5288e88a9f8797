package sqlstore

import (
	"context"

	"rootcue/internal/store"
)

// BeginAnswer implements store.Answers. Of two that come at once the second
// waits for the first transaction to end and then finds its mark.
func (t *tx) BeginAnswer(ctx context.Context, a store.Answer) (*store.Answer, error) {
	if _, err := t.remove(ctx, "answers", "key = ? AND expires <= ?", a.Key, t.now); err != nil {
		return nil, err
	}
	t.date(&a.CreatedAt)
	a.InFlight, a.Status, a.ContentType, a.Body = true, 0, "", ""
	n, err := t.exec(ctx, `INSERT INTO answers (club_id, key, route, body_hash, in_flight, status, content_type, body, created_at, expires)
		VALUES (?, ?, ?, ?, ?, 0, '', '', ?, ?) ON CONFLICT (club_id, key) DO NOTHING`,
		t.club, a.Key, a.Route, a.BodyHash, true, a.CreatedAt, a.Expires)
	if err != nil || n == 1 {
		return nil, err
	}
	known, err := one[store.Answer](ctx, t, "answers", "AND key = ?", a.Key)
	return &known, err
}

// FinishAnswer implements store.Answers.
func (t *tx) FinishAnswer(ctx context.Context, a store.Answer) error {
	return t.update(ctx, "answers", "in_flight = ?, status = ?, content_type = ?, body = ?, expires = ?", "key = ?",
		false, a.Status, a.ContentType, a.Body, a.Expires, a.Key)
}

// DropAnswer implements store.Answers.
func (t *tx) DropAnswer(ctx context.Context, key string) error {
	_, err := t.remove(ctx, "answers", "key = ?", key)
	return err
}
