package club

import (
	"context"
	"fmt"
	"net/http"
	"time"

	"rootcue/internal/store"
)

// A Sender sends one signed message.
type Sender interface {
	// Send posts a message under its id, signed with each of the secrets, and
	// gives the HTTP status. An error is one of the way there; its text holds
	// nothing of the message.
	Send(ctx context.Context, address string, secrets []string, id string, at time.Time, body []byte) (status int, err error)

	// Loopback tells whether addresses of this machine may be called.
	Loopback() bool
}

// Backoff is how long to wait after each failed attempt, as the Standard
// Webhooks specification suggests; after the last the message is given up.
var Backoff = []time.Duration{
	5 * time.Second, 5 * time.Minute, 30 * time.Minute, 2 * time.Hour, 5 * time.Hour, 10 * time.Hour, 14 * time.Hour, 20 * time.Hour, 24 * time.Hour,
}

// ErrNotDelivered: the receiver did not take the message.
var ErrNotDelivered = fmt.Errorf("not delivered")

// DeliverOnce makes one attempt to deliver. A message that is gone, done or of
// a webhook that is not active needs none. last tells that no attempt follows:
// a webhook that took nothing at all through a whole row of attempts, or says
// that it is gone, is disabled. The connection is made outside of any
// transaction.
func (c *Clubs) DeliverOnce(ctx context.Context, club, id string, last bool) error {
	var d store.Delivery
	var w store.Webhook
	var secrets []string
	err := c.Store.View(ctx, club, func(tx store.Tx) (err error) {
		if d, err = tx.Delivery(ctx, id); err != nil {
			return err
		}
		if w, err = tx.Webhook(ctx, d.WebhookID); err != nil {
			return err
		}
		secrets, err = signing(ctx, tx, w)
		return err
	})
	if isNotFound(err) || err == nil && d.State != DeliveryWaiting {
		return nil
	}
	if err != nil {
		return err
	}
	if w.State != WebhookActive && d.Event != EventTest {
		return c.attempted(ctx, club, id, 0, "the webhook is "+w.State, true)
	}
	status, err := c.Sender.Send(ctx, w.URL, secrets, d.ID, time.Now(), d.Body)
	problem := ""
	switch {
	case err != nil:
		problem = err.Error()
	case status < 200 || status > 299:
		problem = fmt.Sprintf("answered with %d %s", status, http.StatusText(status))
	}
	if err := c.attempted(ctx, club, id, status, problem, last || status == http.StatusGone); err != nil {
		return err
	}
	if problem != "" && status != http.StatusGone {
		return fmt.Errorf("%w: %s", ErrNotDelivered, problem)
	}
	return nil
}

// signing are the secrets that sign a webhook's messages, the newest first.
func signing(ctx context.Context, tx store.Tx, w store.Webhook) ([]string, error) {
	former, err := tx.FormerSecrets(ctx, w.ID)
	secrets := []string{w.Secret}
	for _, f := range former {
		secrets = append(secrets, f.Secret)
	}
	return secrets, err
}

// attempted notes what became of an attempt.
func (c *Clubs) attempted(ctx context.Context, club, id string, status int, problem string, last bool) error {
	return c.Store.InTx(ctx, club, func(tx store.Tx) error {
		if err := tx.TakeTurn(ctx); err != nil { // attempts end side by side: each counts, and none undoes a resumption
			return err
		}
		d, err := tx.Delivery(ctx, id)
		if isNotFound(err) { // erased meanwhile
			return nil
		}
		if err != nil {
			return err
		}
		w, err := tx.Webhook(ctx, d.WebhookID)
		if err != nil {
			return err
		}
		d.Attempts, d.Problem, d.HTTPStatus = d.Attempts+1, problem, nil
		if status != 0 {
			d.HTTPStatus = &status
		}
		w.Failures++
		switch {
		case problem == "":
			d.State, d.DoneAt, w.Failures = DeliveryDone, tx.Now().Ptr(), 0
		case last:
			d.State, d.DoneAt = DeliveryFailed, tx.Now().Ptr()
		}
		if err := tx.PutDelivery(ctx, d); err != nil {
			return err
		}
		disable := w.State == WebhookActive && (status == http.StatusGone || last && w.Failures > len(Backoff))
		if disable {
			w.State = WebhookDisabled
		}
		if err := tx.PutWebhook(ctx, w); err != nil || !disable {
			return err
		}
		return logged(ctx, tx, system, "webhook.disabled", "webhook/"+w.ID, map[string]any{"failures": w.Failures})
	})
}
