package club

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"rootcue/engine/place"
	"rootcue/internal/store"
)

// Roles are the roles of keys, smallest first; each includes the ones before.
var Roles = []string{"read", "submit", "edit", "admin"}

// A secret is "rc_" and 32 random bytes (256 bits) in base64url; the first
// characters tell keys apart in lists and open nothing.
const (
	secretStart  = "rc_"
	secretLength = 46
	prefixLength = 9
)

// touchEvery spaces the writes that note a key's last use.
const touchEvery = time.Minute

// ErrBadKey: the secret is unknown, expired or revoked. Which of them is not said.
var ErrBadKey = errors.New("no such key")

// NewKey says what a key shall be.
type NewKey struct {
	Label   string
	Role    string // one of Roles
	Expires string // last day on which it opens, YYYY-MM-DD UTC; "" for no end
}

// AddKey makes a key in the actor's club and gives its secret, which is shown
// once and never kept.
func (c *Clubs) AddKey(ctx context.Context, a Actor, n NewKey) (k store.Key, secret string, err error) {
	err = c.write(ctx, a, func(tx store.Tx) error {
		k, secret, err = addKey(ctx, tx, a.KeyID, n)
		return err
	})
	return k, secret, err
}

// AddFirstKey makes a key in the club with that name; a club that is not there
// is made, with the shipped rubrics and policies published into it.
func (c *Clubs) AddFirstKey(ctx context.Context, club string, n NewKey) (k store.Key, secret string, err error) {
	if club = strings.TrimSpace(club); club == "" || len(club) > 200 {
		return k, "", refuse("bad-name", "/club", strconv.Quote(club), "the club's name, at most 200 bytes", "")
	}
	add := func(tx store.Tx) error {
		k, secret, err = addKey(ctx, tx, system, n)
		return err
	}
	for {
		known, err := c.Store.ClubByName(ctx, club)
		if err == nil {
			err = c.Store.InTx(ctx, known.ID, add)
			return k, secret, err
		}
		if !errors.Is(err, store.ErrNotFound) {
			return k, "", err
		}
		_, err = c.Store.CreateClub(ctx, store.Club{Name: club}, func(tx store.Tx) error {
			if err := publishShipped(ctx, tx); err != nil {
				return err
			}
			return add(tx)
		})
		if !errors.Is(err, store.ErrConflict) { // else another made it meanwhile
			return k, secret, err
		}
	}
}

func addKey(ctx context.Context, tx store.Tx, who string, n NewKey) (k store.Key, secret string, err error) {
	k = store.Key{Label: n.Label, Role: n.Role}
	if !slices.Contains(Roles, n.Role) {
		return k, "", refuse("unknown-role", "/role", strconv.Quote(n.Role), place.List(Roles), "")
	}
	if len(n.Label) > 200 {
		return k, "", refuse("too-long", "/label", fmt.Sprintf("%d bytes", len(n.Label)), "at most 200 bytes", "")
	}
	if k.Expires, err = lastMoment(n.Expires, tx.Now()); err != nil {
		return k, "", err
	}
	secret = newSecret()
	k.Prefix, k.Hash = secret[:prefixLength], hashOf(secret)
	if k, err = tx.AddKey(ctx, k); err != nil {
		return k, "", err
	}
	return k, secret, logged(ctx, tx, who, "key.added", "key/"+k.ID, map[string]any{"role": k.Role, "label": k.Label, "expires": n.Expires})
}

// lastMoment is the end of a day, nil for "".
func lastMoment(day string, now store.Time) (*store.Time, error) {
	if day == "" {
		return nil, nil
	}
	d, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return nil, refuse("bad-date", "/expires", strconv.Quote(day), "the last day of the key, such as 2027-03-31", "")
	}
	end := store.At(d.AddDate(0, 0, 1))
	if end.Year() > 9999 { // no time is written in more than four digits (RFC 3339)
		return nil, refuse("bad-date", "/expires", day, "a day up to 9999-12-30, or none at all: then the key does not expire", "")
	}
	if !end.After(now.Time) {
		return nil, refuse("bad-date", "/expires", day, "a day that is not over", "")
	}
	return end.Ptr(), nil
}

func newSecret() string {
	b := make([]byte, 32)
	rand.Read(b) // never fails (crypto/rand)
	return secretStart + base64.RawURLEncoding.EncodeToString(b)
}

func hashOf(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

// Authenticate finds the club and key that a secret opens, else ErrBadKey.
func (c *Clubs) Authenticate(ctx context.Context, secret string) (club string, k store.Key, err error) {
	if len(secret) != secretLength || !strings.HasPrefix(secret, secretStart) {
		return "", k, ErrBadKey
	}
	hash := hashOf(secret)
	club, k, err = c.Store.KeyByHash(ctx, hash)
	if errors.Is(err, store.ErrNotFound) {
		return "", k, ErrBadKey
	}
	if err != nil {
		return "", k, err
	}
	now := time.Now()
	same := subtle.ConstantTimeCompare([]byte(hash), []byte(k.Hash)) == 1
	if !same || k.RevokedAt != nil || k.Expires != nil && !now.Before(k.Expires.Time) {
		return "", k, ErrBadKey
	}
	if k.LastUsed == nil || now.Sub(k.LastUsed.Time) > touchEvery {
		// To note the use is worth no failure: a full disk must not lock everyone out.
		_ = c.Store.InTx(ctx, club, func(tx store.Tx) error { return tx.TouchKey(ctx, k.ID) })
	}
	return club, k, nil
}

// Keys lists the club's keys, oldest first, revoked ones too.
func (c *Clubs) Keys(ctx context.Context, a Actor) (keys []store.Key, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		keys, err = tx.Keys(ctx)
		return err
	})
	return keys, err
}

// RevokeKey ends a key at once; to revoke it again changes nothing.
func (c *Clubs) RevokeKey(ctx context.Context, a Actor, id string) error {
	return c.write(ctx, a, func(tx store.Tx) error {
		k, err := tx.Key(ctx, id)
		if err != nil || k.RevokedAt != nil {
			return err
		}
		if err := tx.RevokeKey(ctx, id); err != nil {
			return err
		}
		return logged(ctx, tx, a.KeyID, "key.revoked", "key/"+id, map[string]any{"role": k.Role})
	})
}
