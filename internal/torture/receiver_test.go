package torture_test

import (
	"io"
	"net/http"
	"net/http/httptest"
	"sync"
	"testing"

	standardwebhooks "github.com/standard-webhooks/standard-webhooks/libraries/go"
)

// A receiver takes webhooks, holds each against its signature and counts them.
type receiver struct {
	url string

	mu       sync.Mutex
	check    *standardwebhooks.Webhook
	times    map[string]int // by webhook-id
	unsigned int
}

func newReceiver(t testing.TB) *receiver {
	r := &receiver{times: map[string]int{}}
	server := httptest.NewServer(r)
	t.Cleanup(server.Close)
	r.url = server.URL
	return r
}

// hook makes the receiver a webhook of a server.
func (r *receiver) hook(s *server) (id string) {
	var made struct{ ID, Secret string }
	s.must(request{method: "POST", path: "/v1/webhooks", key: s.admin, body: `{"url": "` + r.url + `/", "events": ["assessments.stored"]}`}, 200, &made)
	check, err := standardwebhooks.NewWebhook(made.Secret)
	if err != nil {
		s.t.Fatal(err)
	}
	r.mu.Lock()
	r.check = check
	r.mu.Unlock()
	return made.ID
}

func (r *receiver) ServeHTTP(w http.ResponseWriter, req *http.Request) {
	body, err := io.ReadAll(req.Body)
	r.mu.Lock()
	defer r.mu.Unlock()
	if err != nil || r.check == nil || r.check.Verify(body, req.Header) != nil {
		r.unsigned++
		w.WriteHeader(http.StatusBadRequest)
		return
	}
	r.times[req.Header.Get("Webhook-Id")]++
	w.WriteHeader(http.StatusNoContent)
}
