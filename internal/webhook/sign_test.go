package webhook_test

import (
	"net/http"
	"strconv"
	"testing"
	"time"

	standardwebhooks "github.com/standard-webhooks/standard-webhooks/libraries/go"
	"pgregory.net/rapid"

	"rootcue/internal/webhook"
)

// The example in the tests of the specification's published libraries
// (github.com/standard-webhooks/standard-webhooks, libraries/go, TestWebhookSign).
func TestSignPublishedExample(t *testing.T) {
	got, err := webhook.Sign("whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw", "msg_p5jXN8AQM9LWM0D4loKWxJek", time.Unix(1614265330, 0), []byte(`{"test": 2432232314}`))
	if want := "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE="; err != nil || got != want {
		t.Errorf("found %q, %v; want %q", got, err, want)
	}
}

// What we sign, the specification's own library accepts; with one byte of the
// payload, the id or the time changed it does not.
func TestPublishedLibraryVerifies(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const secret = "whsec_C2FVsBQIhrscChlQIMV+b5sSYspob7oD"
		library, err := standardwebhooks.NewWebhook(secret)
		if err != nil {
			t.Fatal(err)
		}
		id, payload := rapid.StringMatching(`[0-9a-f-]{36}`).Draw(t, "id"), rapid.SliceOfN(rapid.Byte(), 1, 200).Draw(t, "payload")
		at := time.Now()
		signature, err := webhook.Sign(secret, id, at, payload)
		if err != nil {
			t.Fatal(err)
		}
		header := func(id string, at time.Time) http.Header {
			h := http.Header{}
			h.Set("webhook-id", id)
			h.Set("webhook-timestamp", strconv.FormatInt(at.Unix(), 10))
			h.Set("webhook-signature", signature)
			return h
		}
		if err := library.Verify(payload, header(id, at)); err != nil {
			t.Fatal(err)
		}
		changed := append([]byte{}, payload...)
		changed[rapid.IntRange(0, len(changed)-1).Draw(t, "at")] ^= 1
		for name, err := range map[string]error{
			"payload": library.Verify(changed, header(id, at)),
			"id":      library.Verify(payload, header(id+"x", at)),
			"time":    library.Verify(payload, header(id, at.Add(time.Second))),
		} {
			if err == nil {
				t.Fatalf("another %s is accepted", name)
			}
		}
	})
}

func TestSignBadSecret(t *testing.T) {
	if s, err := webhook.Sign("whsec_***", "id", time.Now(), nil); err == nil {
		t.Errorf("signed with no key: %q", s)
	}
}
