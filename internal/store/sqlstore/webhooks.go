package sqlstore

import (
	"context"

	"rootcue/internal/store"
)

// AddWebhook implements store.Webhooks.
func (t *tx) AddWebhook(ctx context.Context, w store.Webhook) (store.Webhook, error) {
	t.begin(&w.ID, &w.CreatedAt)
	return w, insert(ctx, t, "webhooks", "", w)
}

// Webhook implements store.Webhooks.
func (t *tx) Webhook(ctx context.Context, id string) (store.Webhook, error) {
	return one[store.Webhook](ctx, t, "webhooks", "AND id = ?", id)
}

// Webhooks implements store.Webhooks.
func (t *tx) Webhooks(ctx context.Context) ([]store.Webhook, error) {
	return list[store.Webhook](ctx, t, "webhooks", "ORDER BY created_at, id")
}

// PutWebhook implements store.Webhooks.
func (t *tx) PutWebhook(ctx context.Context, w store.Webhook) error {
	return t.update(ctx, "webhooks", "url = ?, secret = ?, events = ?, state = ?, failures = ?", "id = ?", w.URL, w.Secret, w.Events, w.State, w.Failures, w.ID)
}

// DeleteWebhook implements store.Webhooks.
func (t *tx) DeleteWebhook(ctx context.Context, id string) error {
	if _, err := t.Webhook(ctx, id); err != nil {
		return err
	}
	if _, err := t.remove(ctx, "deliveries", "webhook_id = ?", id); err != nil {
		return err
	}
	_, err := t.remove(ctx, "webhooks", "id = ?", id)
	return err
}

// AddFormerSecret implements store.Webhooks.
func (t *tx) AddFormerSecret(ctx context.Context, f store.FormerSecret) error {
	if _, err := t.remove(ctx, "former_secrets", "until <= ?", t.now); err != nil {
		return err
	}
	return insert(ctx, t, "former_secrets", "", f)
}

// FormerSecrets implements store.Webhooks.
func (t *tx) FormerSecrets(ctx context.Context, webhookID string) ([]store.FormerSecret, error) {
	return list[store.FormerSecret](ctx, t, "former_secrets", "AND webhook_id = ? AND until > ? ORDER BY until DESC, secret", webhookID, t.now)
}

// AddDelivery implements store.Webhooks.
func (t *tx) AddDelivery(ctx context.Context, d store.Delivery) (store.Delivery, error) {
	t.begin(&d.ID, &d.At)
	return d, insert(ctx, t, "deliveries", "", d)
}

// Delivery implements store.Webhooks.
func (t *tx) Delivery(ctx context.Context, id string) (store.Delivery, error) {
	return one[store.Delivery](ctx, t, "deliveries", "AND id = ?", id)
}

// PutDelivery implements store.Webhooks.
func (t *tx) PutDelivery(ctx context.Context, d store.Delivery) error {
	return t.update(ctx, "deliveries", "state = ?, attempts = ?, http_status = ?, problem = ?, done_at = ?", "id = ?",
		d.State, d.Attempts, d.HTTPStatus, d.Problem, d.DoneAt, d.ID)
}

// Deliveries implements store.Webhooks.
func (t *tx) Deliveries(ctx context.Context, webhookID string, limit int) ([]store.Delivery, error) {
	return list[store.Delivery](ctx, t, "deliveries", "AND webhook_id = ? ORDER BY id DESC LIMIT ?", webhookID, bounded(limit))
}

// DeliveriesIn implements store.Webhooks.
func (t *tx) DeliveriesIn(ctx context.Context, state, after string, limit int) ([]string, error) {
	return t.ids(ctx, deliveriesTable, "AND state = ? AND id > ? ORDER BY id LIMIT ?", state, after, bounded(limit))
}

// AddLink implements store.Links.
func (t *tx) AddLink(ctx context.Context, l store.Link) (store.Link, error) {
	t.begin(&l.ID, &l.CreatedAt)
	return l, insert(ctx, t, "links", "", l)
}

// Links implements store.Links.
func (t *tx) Links(ctx context.Context, assessmentID string) ([]store.Link, error) {
	var w where
	w.text("assessment_id = ?", assessmentID)
	return list[store.Link](ctx, t, "links", w.sql+"ORDER BY id DESC", w.args...)
}

// RevokeLink implements store.Links.
func (t *tx) RevokeLink(ctx context.Context, id string) error {
	return t.update(ctx, "links", "revoked_at = coalesce(revoked_at, ?)", "id = ?", t.now, id)
}
