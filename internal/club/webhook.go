package club

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"time"

	"rootcue/engine/place"
	"rootcue/internal/store"
)

// What a webhook can be told of. The messages hold ids, nothing of a player:
// whoever is told reads the rest with a key.
const (
	EventStored   = "assessments.stored"  // some observations were assessed
	EventReleased = "assessment.released" // a family may read it
	EventTest     = "webhook.test"        // sent when somebody asks for it
)

// Events lists what a webhook can ask to be told of.
var Events = []string{EventStored, EventReleased}

// The states of a webhook.
const (
	WebhookActive   = "active"
	WebhookPaused   = "paused"   // by the club
	WebhookDisabled = "disabled" // after days of failure, or because the receiver said it is gone
)

// The states of a delivery.
const (
	DeliveryWaiting = "waiting"
	DeliveryDone    = "done"
	DeliveryFailed  = "failed" // given up
)

// secretBytes is the length of a webhook's secret: the scheme asks for 24 to 64.
const secretBytes = 32

// AddWebhook makes a webhook and gives its secret, which is shown once.
func (c *Clubs) AddWebhook(ctx context.Context, a Actor, address string, events []string) (w store.Webhook, err error) {
	if c.Jobs == nil || c.Sender == nil {
		return w, ErrNoJobs
	}
	if err := c.checkWebhook(address, events); err != nil {
		return w, err
	}
	secret := newWebhookSecret()
	err = c.write(ctx, a, func(tx store.Tx) error {
		if w, err = tx.AddWebhook(ctx, store.Webhook{URL: address, Secret: secret, Events: events, State: WebhookActive}); err != nil {
			return err
		}
		return logged(ctx, tx, a.KeyID, "webhook.added", "webhook/"+w.ID, map[string]any{"events": events})
	})
	w.Secret = secret
	return w, err
}

func newWebhookSecret() string {
	key := make([]byte, secretBytes)
	rand.Read(key) // never fails (crypto/rand)
	return "whsec_" + base64.StdEncoding.EncodeToString(key)
}

// SecretOverlap is how long a secret that was replaced still signs.
const SecretOverlap = 24 * time.Hour

// mostSecrets is how many secrets may sign at once.
const mostSecrets = 4

// RotateSecret gives a webhook a new secret, which is shown once. The one it had
// signs too until the time given, so that the receiver can change over without
// losing a message. With too many still signing it is ErrManySecrets.
func (c *Clubs) RotateSecret(ctx context.Context, a Actor, id string) (secret string, until store.Time, err error) {
	secret = newWebhookSecret()
	err = c.write(ctx, a, func(tx store.Tx) error {
		if err := tx.TakeTurn(ctx); err != nil { // attempts that end meanwhile change it too
			return err
		}
		w, err := tx.Webhook(ctx, id)
		if err != nil {
			return err
		}
		former, err := tx.FormerSecrets(ctx, id)
		if err != nil {
			return err
		}
		if len(former)+2 > mostSecrets {
			return ErrManySecrets
		}
		until = store.At(tx.Now().Add(SecretOverlap))
		if err := tx.AddFormerSecret(ctx, store.FormerSecret{WebhookID: id, Secret: w.Secret, Until: until}); err != nil {
			return err
		}
		w.Secret = secret
		if err := tx.PutWebhook(ctx, w); err != nil {
			return err
		}
		return logged(ctx, tx, a.KeyID, "webhook.secret", "webhook/"+id, map[string]any{"former_until": until})
	})
	return secret, until, err
}

// ErrManySecrets: several secrets of a webhook still sign.
var ErrManySecrets = errors.New("too many secrets still sign")

// checkWebhook refuses addresses that could never be called and events that
// never come.
func (c *Clubs) checkWebhook(address string, events []string) error {
	var slips []place.Problem
	u, err := url.Parse(address)
	if err != nil || u.Host == "" || u.User != nil || u.Fragment != "" || len(address) > 2000 || u.Scheme != "https" && !(u.Scheme == "http" && c.Sender.Loopback()) {
		slips = append(slips, place.Problem{Code: "bad-address", Pointer: "/url", Found: strconv.Quote(address), Wanted: "an https address without a user or fragment"})
	}
	for i, e := range events {
		if !slices.Contains(Events, e) {
			slips = append(slips, place.Problem{Code: "unknown-event", Pointer: fmt.Sprintf("/events/%d", i), Found: strconv.Quote(e), Wanted: place.List(Events)})
		}
	}
	if len(slips) > 0 {
		return &Refusal{slips}
	}
	return nil
}

// Webhooks lists the club's webhooks, oldest first.
func (c *Clubs) Webhooks(ctx context.Context, a Actor) (list []store.Webhook, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		list, err = tx.Webhooks(ctx)
		return err
	})
	return list, err
}

// PutWebhook changes a webhook; active again, it starts with no failures.
func (c *Clubs) PutWebhook(ctx context.Context, a Actor, id, address string, events []string, active bool) (w store.Webhook, err error) {
	if c.Jobs == nil || c.Sender == nil {
		return w, ErrNoJobs
	}
	if err := c.checkWebhook(address, events); err != nil {
		return w, err
	}
	err = c.write(ctx, a, func(tx store.Tx) error {
		if err := tx.TakeTurn(ctx); err != nil { // attempts that end meanwhile change it too
			return err
		}
		if w, err = tx.Webhook(ctx, id); err != nil {
			return err
		}
		w.URL, w.Events, w.State, w.Failures = address, events, WebhookPaused, 0
		if active {
			w.State = WebhookActive
		}
		if err := tx.PutWebhook(ctx, w); err != nil {
			return err
		}
		return logged(ctx, tx, a.KeyID, "webhook.changed", "webhook/"+id, map[string]any{"events": events, "state": w.State})
	})
	return w, err
}

// DeleteWebhook deletes a webhook with what was sent to it.
func (c *Clubs) DeleteWebhook(ctx context.Context, a Actor, id string) error {
	return c.write(ctx, a, func(tx store.Tx) error {
		if err := tx.DeleteWebhook(ctx, id); err != nil {
			return err
		}
		return logged(ctx, tx, a.KeyID, "webhook.deleted", "webhook/"+id, struct{}{})
	})
}

// Deliveries lists what was sent to a webhook, newest first.
func (c *Clubs) Deliveries(ctx context.Context, a Actor, id string, limit int) (list []store.Delivery, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		if _, err := tx.Webhook(ctx, id); err != nil {
			return err
		}
		list, err = tx.Deliveries(ctx, id, limit)
		return err
	})
	return list, err
}

// TestWebhook sends a test message, whatever the webhook asks to be told of.
func (c *Clubs) TestWebhook(ctx context.Context, a Actor, id string) (d store.Delivery, err error) {
	err = c.write(ctx, a, func(tx store.Tx) error {
		w, err := tx.Webhook(ctx, id)
		if err != nil {
			return err
		}
		d, err = c.deliver(ctx, tx, w, EventTest, nil, map[string]any{"says": "This is a test."})
		return err
	})
	return d, err
}

// mostReplayed bounds what one replay sends again.
const mostReplayed = 1000

// Replay sends a webhook's messages again, under their own ids: one, or all
// since a time. It gives how many.
func (c *Clubs) ReplayDeliveries(ctx context.Context, a Actor, id, delivery string, since time.Time) (n int, err error) {
	if c.Jobs == nil {
		return 0, ErrNoJobs
	}
	err = c.write(ctx, a, func(tx store.Tx) error {
		if _, err := tx.Webhook(ctx, id); err != nil {
			return err
		}
		all, err := tx.Deliveries(ctx, id, mostReplayed)
		if err != nil {
			return err
		}
		for _, d := range all {
			if delivery != "" && d.ID != delivery || delivery == "" && d.At.Before(since) {
				continue
			}
			n++
			d.State, d.DoneAt = DeliveryWaiting, nil
			if err := tx.PutDelivery(ctx, d); err != nil {
				return err
			}
			if err := c.Jobs.Deliver(ctx, tx, d.ID); err != nil {
				return err
			}
		}
		if delivery != "" && n == 0 {
			return store.ErrNotFound
		}
		return logged(ctx, tx, a.KeyID, "webhook.replayed", "webhook/"+id, map[string]any{"messages": n})
	})
	return n, err
}

// ResumeDeliveries asks again for every waiting message of a club to be sent,
// under its own id: while a backup is restored, which brings the messages back
// but not who sends them.
func (c *Clubs) ResumeDeliveries(ctx context.Context, tx store.Tx) error {
	const atOnce = 1000
	for after := ""; ; {
		waiting, err := tx.DeliveriesIn(ctx, DeliveryWaiting, after, atOnce)
		if err != nil || len(waiting) == 0 {
			return err
		}
		for _, after = range waiting {
			if err := c.Jobs.Deliver(ctx, tx, after); err != nil {
				return err
			}
		}
	}
}

// tell sends an event to every webhook that asked for it, with the transaction.
func (c *Clubs) tell(ctx context.Context, tx store.Tx, event string, player *string, data any) error {
	if c.Jobs == nil {
		return nil
	}
	hooks, err := tx.Webhooks(ctx)
	if err != nil {
		return err
	}
	for _, w := range hooks {
		if w.State != WebhookActive || len(w.Events) > 0 && !slices.Contains(w.Events, event) {
			continue
		}
		if _, err := c.deliver(ctx, tx, w, event, player, data); err != nil {
			return err
		}
	}
	return nil
}

// deliver keeps a message and asks for it to be sent.
func (c *Clubs) deliver(ctx context.Context, tx store.Tx, w store.Webhook, event string, player *string, data any) (store.Delivery, error) {
	if c.Jobs == nil {
		return store.Delivery{}, ErrNoJobs
	}
	body, err := json.Marshal(struct {
		Type      string    `json:"type"`
		Timestamp time.Time `json:"timestamp"`
		Data      any       `json:"data"`
	}{event, tx.Now().Time, data})
	if err != nil {
		return store.Delivery{}, err
	}
	d, err := tx.AddDelivery(ctx, store.Delivery{WebhookID: w.ID, Event: event, PlayerRef: player, Body: body, State: DeliveryWaiting})
	if err != nil {
		return d, err
	}
	return d, c.Jobs.Deliver(ctx, tx, d.ID)
}
