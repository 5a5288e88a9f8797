package storetest

import (
	"testing"

	"rootcue/internal/store"
)

func webhooks(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	var w store.Webhook
	var d store.Delivery
	do(t, s, club, func(tx store.Tx) {
		w = must(tx.AddWebhook(ctx, store.Webhook{URL: "https://club.example/a", Secret: "s", Events: store.Strings{"assessment.ready", "rubric.published"}, State: "on"}))(t)
		ok(t, tx.EnsurePlayers(ctx, "P-1"))
		d = must(tx.AddDelivery(ctx, store.Delivery{WebhookID: w.ID, Event: "assessment.ready", PlayerRef: ptr("P-1"), Body: store.JSON(`{"a":1}`), State: "waiting"}))(t)
	})
	until := later()
	do(t, s, club, func(tx store.Tx) {
		ok(t, tx.AddFormerSecret(ctx, store.FormerSecret{WebhookID: w.ID, Secret: "over", Until: past()}))
		ok(t, tx.AddFormerSecret(ctx, store.FormerSecret{WebhookID: w.ID, Secret: "r", Until: until}))
	})
	see(t, s, club, func(tx store.Tx) {
		same(t, must(tx.FormerSecrets(ctx, w.ID))(t), []store.FormerSecret{{WebhookID: w.ID, Secret: "r", Until: until}})
		same(t, len(must(tx.FormerSecrets(ctx, "none"))(t)), 0)
		same(t, must(tx.DeliveriesIn(ctx, "waiting", "", 5))(t), []string{d.ID})
		same(t, len(must(tx.DeliveriesIn(ctx, "waiting", d.ID, 5))(t)), 0)
		same(t, len(must(tx.DeliveriesIn(ctx, "done", "", 5))(t)), 0)
	})
	w.State, w.Failures, w.URL = "paused", 3, "https://club.example/b"
	d.State, d.Attempts, d.HTTPStatus, d.Problem, d.DoneAt = "failed", 2, ptr(503), "busy", ptr(past())
	do(t, s, club, func(tx store.Tx) {
		ok(t, tx.PutWebhook(ctx, w))
		ok(t, tx.PutDelivery(ctx, d))
	})
	see(t, s, club, func(tx store.Tx) {
		same(t, must(tx.Webhook(ctx, w.ID))(t), w)
		same(t, must(tx.Webhooks(ctx))(t), []store.Webhook{w})
		same(t, must(tx.Delivery(ctx, d.ID))(t), d)
		same(t, must(tx.Deliveries(ctx, w.ID, 5))(t), []store.Delivery{d})
	})
	fails(t, s, club, store.ErrNotFound, func(tx store.Tx) error { return tx.PutWebhook(ctx, store.Webhook{ID: "none"}) })
	fails(t, s, club, store.ErrNotFound, func(tx store.Tx) error { return tx.PutDelivery(ctx, store.Delivery{ID: "none"}) })
	fails(t, s, club, store.ErrNotFound, func(tx store.Tx) error { return tx.DeleteWebhook(ctx, "none") })
	fails(t, s, club, store.ErrInvalid, func(tx store.Tx) error {
		_, err := tx.AddDelivery(ctx, store.Delivery{WebhookID: "none"})
		return err
	})
	do(t, s, club, func(tx store.Tx) { ok(t, tx.DeleteWebhook(ctx, w.ID)) })
	see(t, s, club, func(tx store.Tx) {
		_, err := tx.Webhook(ctx, w.ID)
		is(t, err, store.ErrNotFound)
		_, err = tx.Delivery(ctx, d.ID)
		is(t, err, store.ErrNotFound)
	})
}

func links(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	saved := save(t, s, club, Sub("P-1", "2026-05-09", "one"), Sub("P-1", "2026-05-09", "two"))
	var l, other store.Link
	do(t, s, club, func(tx store.Tx) {
		l = must(tx.AddLink(ctx, store.Link{Hash: Hash("l"), AssessmentID: saved[0].Assessment.ID, Who: "k", Expires: later()}))(t)
		other = must(tx.AddLink(ctx, store.Link{Hash: Hash("m"), AssessmentID: saved[1].Assessment.ID, Who: "k", Expires: later()}))(t)
	})
	found, got, err := s.LinkByHash(ctx, Hash("l"))
	ok(t, err)
	same(t, found, club)
	same(t, got, l)
	do(t, s, club, func(tx store.Tx) { l.RevokedAt = ptr(tx.Now()); ok(t, tx.RevokeLink(ctx, l.ID)) })
	do(t, s, club, func(tx store.Tx) { ok(t, tx.RevokeLink(ctx, l.ID)) })
	see(t, s, club, func(tx store.Tx) {
		same(t, must(tx.Links(ctx, saved[0].Assessment.ID))(t), []store.Link{l})
		same(t, must(tx.Links(ctx, ""))(t), []store.Link{other, l})
	})
	_, _, err = s.LinkByHash(ctx, Hash("n"))
	is(t, err, store.ErrNotFound)
	fails(t, s, club, store.ErrConflict, func(tx store.Tx) error {
		_, err := tx.AddLink(ctx, store.Link{Hash: Hash("l"), AssessmentID: saved[0].Assessment.ID, Expires: later()})
		return err
	})
	fails(t, s, club, store.ErrNotFound, func(tx store.Tx) error { return tx.RevokeLink(ctx, "none") })
}
