package api

import (
	"context"
	"time"

	"rootcue/internal/store"
)

func (s *Server) webhookRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/v1/webhooks", ID: "list-webhooks", Tag: "Webhooks", Summary: "List the webhooks", Role: Admin, Also: []Kind{Unavailable},
		Description: "Oldest first. A secret is never shown again.",
	}, s.listWebhooks)
	Add(s, Route{
		Method: "POST", Path: "/v1/webhooks", ID: "add-webhook", Tag: "Webhooks", Summary: "Make a webhook", Role: Admin, Also: []Kind{Unavailable},
		Description: "Messages are signed by the Standard Webhooks scheme: `webhook-id`, `webhook-timestamp` and `webhook-signature`, which is `v1,` and the HMAC-SHA256 of id, timestamp and body. The answer holds the secret, this once; for the same reason no Idempotency-Key is taken here. " +
			"The address must be https and of the public internet; redirects are not followed. What is not taken with a 2xx in 15 seconds is sent again for some three days, with longer and longer waits; then the webhook is disabled, as by a 410. Messages hold ids, nothing of a player.",
	}, s.addWebhook)
	Add(s, Route{
		Method: "PUT", Path: "/v1/webhooks/{id}", ID: "put-webhook", Tag: "Webhooks", Summary: "Change, pause or resume a webhook", Role: Admin, Replayable: true, Also: []Kind{Unavailable},
		Description: "The secret stays; see `/v1/webhooks/{id}/secret`.",
	}, s.putWebhook)
	Add(s, Route{
		Method: "DELETE", Path: "/v1/webhooks/{id}", ID: "delete-webhook", Tag: "Webhooks", Summary: "Delete a webhook", Role: Admin, Also: []Kind{Unavailable}, Status: 204,
		Description: "With the list of what was sent to it.",
	}, s.deleteWebhook)
	Add(s, Route{
		Method: "POST", Path: "/v1/webhooks/{id}/secret", ID: "rotate-secret", Tag: "Webhooks", Summary: "Give a webhook a new secret", Role: Admin, Also: []Kind{Conflict, Unavailable},
		Description: "The answer holds it, this once; for the same reason no Idempotency-Key is taken here. For a day the former one signs too: `webhook-signature` then has one signature of each, with a blank between, and a receiver that takes any of them misses nothing. At most four secrets sign at once; a further one is 409.",
	}, s.rotateSecret)
	Add(s, Route{
		Method: "GET", Path: "/v1/webhooks/{id}/deliveries", ID: "list-deliveries", Tag: "Webhooks", Summary: "What was sent", Role: Admin, Also: []Kind{Unavailable},
		Description: "Newest first, with what became of the last attempt.",
	}, s.listDeliveries)
	Add(s, Route{
		Method: "POST", Path: "/v1/webhooks/{id}/test", ID: "test-webhook", Tag: "Webhooks", Summary: "Send a test message", Role: Admin, Also: []Kind{Unavailable}, Status: 202,
		Description: "Whatever the webhook asks to be told of. What became of it stands in the deliveries.",
	}, s.testWebhook)
	Add(s, Route{
		Method: "POST", Path: "/v1/webhooks/{id}/replay", ID: "replay-webhook", Tag: "Webhooks", Summary: "Send messages again", Role: Admin, Also: []Kind{Unavailable}, Status: 202,
		Description: "One, or all since a time, under their own ids, so that a receiver can tell what it has already. At most the newest 1000.",
	}, s.replayWebhook)
}

// WebhookInfo is a webhook as it is listed.
type WebhookInfo struct {
	ID        string     `json:"id" doc:"Its id"`
	URL       string     `json:"url" doc:"Where messages go"`
	Events    []string   `json:"events" doc:"What it is told of; empty: everything"`
	State     string     `json:"state" enum:"active,paused,disabled" doc:"disabled: after days of failure, or because the receiver said that it is gone"`
	Failures  int        `json:"failures" doc:"Attempts in a row that failed"`
	CreatedAt store.Time `json:"created_at" doc:"When it was made"`
}

func webhookInfo(w store.Webhook) WebhookInfo {
	return WebhookInfo{w.ID, w.URL, append([]string{}, w.Events...), w.State, w.Failures, w.CreatedAt}
}

func (s *Server) listWebhooks(ctx context.Context, _ *None) (*Answer[Page[WebhookInfo]], error) {
	list, err := s.Clubs.Webhooks(ctx, actor(ctx))
	items := make([]WebhookInfo, len(list))
	for i, w := range list {
		items[i] = webhookInfo(w)
	}
	return &Answer[Page[WebhookInfo]]{Page[WebhookInfo]{Items: items}}, err
}

// A WebhookWanted says where and of what the club wants to be told.
type WebhookWanted struct {
	URL    string   `json:"url" format:"uri" maxLength:"2000" doc:"Where messages go"`
	Events []string `json:"events,omitempty" maxItems:"10" doc:"assessments.stored, assessment.released; empty: everything"`
}

// A WebhookMade is a new webhook.
type WebhookMade struct {
	Secret string `json:"secret" doc:"whsec_ and a key in base64, shown this once"`
	WebhookInfo
}

func (s *Server) addWebhook(ctx context.Context, in *struct{ Body WebhookWanted }) (*Answer[WebhookMade], error) {
	w, err := s.Clubs.AddWebhook(ctx, actor(ctx), in.Body.URL, in.Body.Events)
	return &Answer[WebhookMade]{WebhookMade{w.Secret, webhookInfo(w)}}, err
}

// A WebhookPut is a webhook as it shall be.
type WebhookPut struct {
	WebhookWanted
	Active bool `json:"active,omitempty" default:"true" doc:"false pauses it"`
}

func (s *Server) putWebhook(ctx context.Context, in *struct {
	ByID
	Body WebhookPut
}) (*Answer[WebhookInfo], error) {
	w, err := s.Clubs.PutWebhook(ctx, actor(ctx), in.ID, in.Body.URL, in.Body.Events, in.Body.Active)
	return &Answer[WebhookInfo]{webhookInfo(w)}, err
}

// A SecretMade is a webhook's new secret.
type SecretMade struct {
	Secret      string     `json:"secret" doc:"whsec_ and a key in base64, shown this once"`
	FormerUntil store.Time `json:"former_until" doc:"Until when the former one signs too"`
}

func (s *Server) rotateSecret(ctx context.Context, in *ByID) (*Answer[SecretMade], error) {
	secret, until, err := s.Clubs.RotateSecret(ctx, actor(ctx), in.ID)
	return &Answer[SecretMade]{SecretMade{secret, until}}, err
}

func (s *Server) deleteWebhook(ctx context.Context, in *ByID) (*struct{}, error) {
	return nil, s.Clubs.DeleteWebhook(ctx, actor(ctx), in.ID)
}

// DeliveryInfo is one message that was sent.
type DeliveryInfo struct {
	ID         string      `json:"id" doc:"The message's webhook-id"`
	Event      string      `json:"event" doc:"What it tells of"`
	State      string      `json:"state" enum:"waiting,done,failed" doc:"What became of it"`
	Attempts   int         `json:"attempts" doc:"Attempts so far"`
	HTTPStatus *int        `json:"http_status" doc:"Of the last attempt; null: there was no answer"`
	Problem    string      `json:"problem" doc:"Of the last attempt; empty: none"`
	At         store.Time  `json:"at" doc:"When it came to be"`
	DoneAt     *store.Time `json:"done_at" doc:"When it was taken or given up"`
}

func deliveryInfo(d store.Delivery) DeliveryInfo {
	return DeliveryInfo{d.ID, d.Event, d.State, d.Attempts, d.HTTPStatus, d.Problem, d.At, d.DoneAt}
}

func (s *Server) listDeliveries(ctx context.Context, in *struct {
	ByID
	Limit int `query:"limit" minimum:"1" maximum:"1000" default:"100" doc:"How many at most"`
}) (*Answer[Page[DeliveryInfo]], error) {
	list, err := s.Clubs.Deliveries(ctx, actor(ctx), in.ID, in.Limit)
	items := make([]DeliveryInfo, len(list))
	for i, d := range list {
		items[i] = deliveryInfo(d)
	}
	return &Answer[Page[DeliveryInfo]]{Page[DeliveryInfo]{Items: items}}, err
}

func (s *Server) testWebhook(ctx context.Context, in *ByID) (*Answer[DeliveryInfo], error) {
	d, err := s.Clubs.TestWebhook(ctx, actor(ctx), in.ID)
	return &Answer[DeliveryInfo]{deliveryInfo(d)}, err
}

// A WebhookReplay says what to send again: one message, or all since a time.
type WebhookReplay struct {
	Delivery string     `json:"delivery,omitempty" format:"uuid" doc:"The id of one message"`
	Since    *time.Time `json:"since,omitempty" doc:"All that came to be from then on"`
}

// Replaying counts the messages that are sent again.
type Replaying struct {
	Messages int `json:"messages" doc:"How many are sent again"`
}

func (s *Server) replayWebhook(ctx context.Context, in *struct {
	ByID
	Body WebhookReplay
}) (*Answer[Replaying], error) {
	b := in.Body
	if (b.Delivery == "") == (b.Since == nil) {
		return nil, NotValid.At(Slip{Code: "one-of", Found: "both or neither of delivery and since", Wanted: "one of them"})
	}
	since := time.Time{}
	if b.Since != nil {
		since = *b.Since
	}
	n, err := s.Clubs.ReplayDeliveries(ctx, actor(ctx), in.ID, b.Delivery, since)
	return &Answer[Replaying]{Replaying{n}}, err
}
