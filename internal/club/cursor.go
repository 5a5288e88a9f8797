package club

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"strings"

	"rootcue/internal/store"
)

// ErrBadCursor: the cursor is none that this list gave to this club.
var ErrBadCursor = errors.New("cursor not given by this list")

// sealLength is how many bytes of the seal a cursor carries: 2^96 tries to
// forge one.
const sealLength = 12

// seal makes the opaque cursor of a position in a list. list names the list
// with its filter, so that a cursor leads nowhere else.
func seal(c store.Club, list, position string) string {
	if position == "" {
		return ""
	}
	return base64.RawURLEncoding.EncodeToString(append(sealOf(c, list, position), position...))
}

// unseal gives the position of a cursor; "" has the position "".
func unseal(c store.Club, list, cursor string) (string, error) {
	if cursor == "" {
		return "", nil
	}
	raw, err := base64.RawURLEncoding.Strict().DecodeString(cursor)
	if err != nil || len(raw) <= sealLength || strings.ContainsAny(cursor, "\r\n") { // base64 passes over line breaks, even when strict
		return "", ErrBadCursor
	}
	position := string(raw[sealLength:])
	if !hmac.Equal(raw[:sealLength], sealOf(c, list, position)) {
		return "", ErrBadCursor
	}
	return position, nil
}

func sealOf(c store.Club, list, position string) []byte {
	m := hmac.New(sha256.New, []byte("cursor "+c.LogKey))
	m.Write([]byte(list + "\x00" + position))
	return m.Sum(nil)[:sealLength]
}
