package jobs_test

import (
	"cmp"
	"context"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	standardwebhooks "github.com/standard-webhooks/standard-webhooks/libraries/go"

	"rootcue/internal/club"
	"rootcue/internal/jobs"
	"rootcue/internal/store"
	"rootcue/internal/store/storetest"
)

// A keeper takes messages and keeps them as they came.
type keeper struct {
	sync.Mutex
	url     string
	headers []http.Header
	bodies  [][]byte
}

func newKeeper(t testing.TB) *keeper {
	k := &keeper{}
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body, _ := io.ReadAll(r.Body)
		k.Lock()
		defer k.Unlock()
		k.headers, k.bodies = append(k.headers, r.Header), append(k.bodies, body)
		w.WriteHeader(http.StatusNoContent)
	}))
	t.Cleanup(s.Close)
	k.url = s.URL
	return k
}

// ids are the messages' own.
func (k *keeper) ids() (ids []string) {
	k.Lock()
	defer k.Unlock()
	for _, h := range k.headers {
		ids = append(ids, h.Get("webhook-id"))
	}
	return ids
}

// accepted reports whether the scheme's own library takes the last message with
// a secret.
func (k *keeper) accepted(t testing.TB, secret string) bool {
	t.Helper()
	library, err := standardwebhooks.NewWebhook(secret)
	if err != nil {
		t.Fatal(err)
	}
	k.Lock()
	defer k.Unlock()
	return library.Verify(k.bodies[len(k.bodies)-1], k.headers[len(k.headers)-1]) == nil
}

// A new secret and the former ones sign for a day, each accepted by the scheme's
// own library; then the new one signs alone.
func TestRotateSecret(t *testing.T) {
	each(t, func(t *testing.T, url string) {
		s, k := serve(t, url), newKeeper(t)
		a := s.admin(t, "North")
		w, err := s.clubs.AddWebhook(ctx, a, k.url, nil)
		if err != nil {
			t.Fatal(err)
		}
		send := func(want map[string]bool) {
			t.Helper()
			d, err := s.clubs.TestWebhook(ctx, a, w.ID)
			if err == nil {
				err = s.clubs.DeliverOnce(ctx, a.Club, d.ID, false)
			}
			if err != nil {
				t.Fatal(err)
			}
			for secret, accepted := range want {
				if k.accepted(t, secret) != accepted {
					t.Errorf("accepted %v by %s of %v", !accepted, secret, want)
				}
			}
		}
		rotate := func() string {
			t.Helper()
			secret, until, err := s.clubs.RotateSecret(ctx, a, w.ID)
			if ahead := time.Until(until.Time); err != nil || ahead < club.SecretOverlap-time.Hour {
				t.Fatalf("until %v, %v", until, err)
			}
			return secret
		}
		second := rotate()
		send(map[string]bool{w.Secret: true, second: true})
		third, fourth := rotate(), rotate()
		send(map[string]bool{w.Secret: true, second: true, third: true, fourth: true})
		if n := len(strings.Fields(k.headers[len(k.headers)-1].Get("webhook-signature"))); n != 4 {
			t.Errorf("%d signatures", n)
		}
		if _, _, err := s.clubs.RotateSecret(ctx, a, w.ID); !errors.Is(err, club.ErrManySecrets) {
			t.Errorf("a fifth: %v", err)
		}
		s.db.Clock = func() time.Time { return time.Now().Add(club.SecretOverlap + time.Minute) }
		send(map[string]bool{w.Secret: false, second: false, third: false, fourth: true})
		fifth := rotate()
		send(map[string]bool{third: false, fourth: true, fifth: true})
	})
}

// failing fails as soon as it has asked for the messages.
type failing struct{ *jobs.Queue }

var errFailing = errors.New("failing")

// Send fails.
func (f *failing) Send(ctx context.Context, tx store.Tx) error {
	return cmp.Or(f.Queue.Send(ctx, tx), errFailing)
}

// What waited to be sent when a backup was made is sent after it is restored,
// under its own id; what was sent is not.
func TestRestoredDeliveries(t *testing.T) {
	each(t, func(t *testing.T, url string) {
		from, k := serve(t, url), newKeeper(t)
		a := from.admin(t, "North")
		w, err := from.clubs.AddWebhook(ctx, a, k.url, nil)
		if err != nil {
			t.Fatal(err)
		}
		var ids []string
		for range 3 {
			d, err := from.clubs.TestWebhook(ctx, a, w.ID)
			if err != nil {
				t.Fatal(err)
			}
			ids = append(ids, d.ID)
		}
		if err := from.clubs.DeliverOnce(ctx, a.Club, ids[0], false); err != nil {
			t.Fatal(err)
		}
		dir := t.TempDir()
		file, to := filepath.Join(dir, "club.backup"), filepath.Join(dir, "restored.db")
		if from.db.Postgres() {
			to = storetest.Postgres(t)
		}
		if err := from.db.Backup(ctx, file, from.queue); err != nil {
			t.Fatal(err)
		}
		run(t, "webhooks that were waiting: 2.", "restore", file, "--database", filepath.Join(dir, "told.db"))

		// All is there with the restore's own commit, or nothing is: killed before it
		// or after it, none is lost.
		restored := serve(t, to)
		if err := restored.db.Restore(ctx, file, &failing{restored.queue}); !errors.Is(err, errFailing) {
			t.Fatal(err)
		}
		if clubs, err := restored.db.Clubs(ctx); err != nil || len(clubs) != 0 || restored.count(t, "deliver") != 0 {
			t.Fatalf("half restored: %d clubs, %d messages, %v", len(clubs), restored.count(t, "deliver"), err)
		}
		if err := restored.db.Restore(ctx, file, restored.queue); err != nil {
			t.Fatal(err)
		}
		restored.start(t)
		waitFor(t, "the messages", func() bool { return len(k.ids()) == 3 })
		waitFor(t, "their ends to be noted", func() bool {
			list, err := restored.clubs.Deliveries(ctx, a, w.ID, 10)
			for _, d := range list {
				if d.State != club.DeliveryDone {
					return false
				}
			}
			return err == nil && len(list) == 3
		})
		sent := map[string]bool{}
		for _, id := range k.ids() {
			sent[id] = true
		}
		if len(k.ids()) != 3 || !sent[ids[0]] || !sent[ids[1]] || !sent[ids[2]] {
			t.Errorf("sent %v of %v", k.ids(), ids)
		}
	})
}
