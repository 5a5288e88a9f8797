// Package webhook sends signed messages by the Standard Webhooks specification
// to addresses that a club has named, and to no address within the network the
// server stands in.
package webhook

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"
)

// secretStart marks a secret.
const secretStart = "whsec_"

// Sign is the signature of a message: "v1," and the HMAC-SHA256 of
// id.timestamp.payload in base64 (Standard Webhooks, "Signature scheme"). The
// secret is whsec_ and a key in base64.
func Sign(secret, id string, at time.Time, payload []byte) (string, error) {
	key, err := base64.StdEncoding.DecodeString(strings.TrimPrefix(secret, secretStart))
	if err != nil {
		return "", fmt.Errorf("the webhook's secret is not base64")
	}
	m := hmac.New(sha256.New, key)
	fmt.Fprintf(m, "%s.%d.", id, at.Unix())
	m.Write(payload)
	return "v1," + base64.StdEncoding.EncodeToString(m.Sum(nil)), nil
}

// setHeaders puts the scheme's three header fields in. Several signatures stand
// side by side with a blank between, so that a secret can be changed without
// losing a message (Standard Webhooks, "Signature scheme").
func setHeaders(h http.Header, secrets []string, id string, at time.Time, payload []byte) error {
	var signatures []string
	for _, secret := range secrets {
		signature, err := Sign(secret, id, at, payload)
		if err != nil {
			return err
		}
		signatures = append(signatures, signature)
	}
	h.Set("Webhook-Id", id)
	h.Set("Webhook-Timestamp", strconv.FormatInt(at.Unix(), 10))
	h.Set("Webhook-Signature", strings.Join(signatures, " "))
	return nil
}
