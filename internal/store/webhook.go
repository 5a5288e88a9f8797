package store

import "context"

// A Webhook is where the club wants to be told.
type Webhook struct {
	ID        string  `db:"id" json:"id"`
	URL       string  `db:"url" json:"url"`
	Secret    string  `db:"secret" json:"-"` // signs deliveries
	Events    Strings `db:"events" json:"events"`
	State     string  `db:"state" json:"state"`       // the club layer's word
	Failures  int     `db:"failures" json:"failures"` // in a row
	CreatedAt Time    `db:"created_at" json:"created_at"`
}

// A FormerSecret is one that a webhook had; it signs too until a time.
type FormerSecret struct {
	WebhookID string `db:"webhook_id"`
	Secret    string `db:"secret"`
	Until     Time   `db:"until"`
}

// A Delivery is one message to a webhook.
type Delivery struct {
	ID         string  `db:"id" json:"id"`
	WebhookID  string  `db:"webhook_id" json:"webhook"`
	Event      string  `db:"event" json:"event"`
	PlayerRef  *string `db:"player_ref" json:"player,omitempty"` // whom it is about
	Body       JSON    `db:"body" json:"body"`
	State      string  `db:"state" json:"state"` // the club layer's word
	Attempts   int     `db:"attempts" json:"attempts"`
	HTTPStatus *int    `db:"http_status" json:"http_status,omitempty"` // of the last attempt
	Problem    string  `db:"problem" json:"problem"`                   // of the last attempt
	At         Time    `db:"at" json:"at"`
	DoneAt     *Time   `db:"done_at" json:"done_at,omitempty"`
}

// Webhooks are the webhooks and what was sent.
type Webhooks interface {
	AddWebhook(ctx context.Context, w Webhook) (Webhook, error)
	Webhook(ctx context.Context, id string) (Webhook, error)
	// Webhooks lists oldest first.
	Webhooks(ctx context.Context) ([]Webhook, error)
	PutWebhook(ctx context.Context, w Webhook) error
	// DeleteWebhook deletes it with its deliveries.
	DeleteWebhook(ctx context.Context, id string) error

	// AddFormerSecret keeps a secret and drops those whose time is over.
	AddFormerSecret(ctx context.Context, f FormerSecret) error
	// FormerSecrets lists a webhook's that still sign, the longest valid first.
	FormerSecrets(ctx context.Context, webhookID string) ([]FormerSecret, error)

	AddDelivery(ctx context.Context, d Delivery) (Delivery, error)
	Delivery(ctx context.Context, id string) (Delivery, error)
	PutDelivery(ctx context.Context, d Delivery) error
	// Deliveries lists a webhook's, newest first.
	Deliveries(ctx context.Context, webhookID string, limit int) ([]Delivery, error)
	// DeliveriesIn gives the ids of those in a state, oldest first, from the first
	// one after the given id.
	DeliveriesIn(ctx context.Context, state, after string, limit int) ([]string, error)
}

// A Link lets a family read one report without a key.
type Link struct {
	ID           string `db:"id" json:"id"`
	Hash         string `db:"hash" json:"-"` // SHA-256 of the token, hex
	AssessmentID string `db:"assessment_id" json:"assessment"`
	Who          string `db:"who" json:"who"`
	CreatedAt    Time   `db:"created_at" json:"created_at"`
	Expires      Time   `db:"expires" json:"expires"`
	RevokedAt    *Time  `db:"revoked_at" json:"revoked_at,omitempty"`
}

// Links are the report links.
type Links interface {
	AddLink(ctx context.Context, l Link) (Link, error)
	// Links lists newest first; an assessment of "" takes all.
	Links(ctx context.Context, assessmentID string) ([]Link, error)
	RevokeLink(ctx context.Context, id string) error
}
