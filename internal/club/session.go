package club

import (
	"context"
	"errors"
	"time"

	"rootcue/internal/store"
)

// sessionDays is how long a browser stays signed in: a season's week and the
// one after, so that nobody types a key at the field.
const sessionDays = 14

// A Session is a browser that signed in with a key. It may do what the key may.
type Session struct {
	Club     string // id
	ClubName string
	Key      store.Key
	CSRF     string        // what a page of ours sends along with every write
	Lasts    time.Duration // from now on
}

// SignIn exchanges a key's secret for a session's token, else ErrBadKey. The
// token is given this once: only its hash is kept.
func (c *Clubs) SignIn(ctx context.Context, secret string) (token string, s Session, err error) {
	id, key, err := c.Authenticate(ctx, secret)
	if err != nil {
		return "", s, err
	}
	token, csrf := newSecret(), newSecret()
	err = c.Store.InTx(ctx, id, func(tx store.Tx) error {
		until := store.At(tx.Now().AddDate(0, 0, sessionDays))
		if key.Expires != nil && key.Expires.Before(until.Time) {
			until = *key.Expires
		}
		own, err := tx.Club(ctx)
		if err != nil {
			return err
		}
		s = Session{id, own.Name, key, csrf, until.Sub(tx.Now().Time)}
		return tx.AddSession(ctx, store.Session{Hash: hashOf(token), KeyID: key.ID, CSRF: csrf, Expires: until})
	})
	return token, s, err
}

// SessionOf finds the session of a token, else ErrBadKey: it is unknown or
// over, or its key no longer opens anything.
func (c *Clubs) SessionOf(ctx context.Context, token string) (s Session, err error) {
	if len(token) != secretLength {
		return s, ErrBadKey
	}
	id, row, err := c.Store.SessionByHash(ctx, hashOf(token))
	if errors.Is(err, store.ErrNotFound) {
		return s, ErrBadKey
	}
	if err != nil {
		return s, err
	}
	err = c.Store.View(ctx, id, func(tx store.Tx) error {
		key, err := tx.Key(ctx, row.KeyID)
		if err != nil {
			return err
		}
		now := tx.Now()
		if key.RevokedAt != nil || key.Expires != nil && !now.Before(key.Expires.Time) || !now.Before(row.Expires.Time) {
			return ErrBadKey
		}
		own, err := tx.Club(ctx)
		s = Session{id, own.Name, key, row.CSRF, row.Expires.Sub(now.Time)}
		return err
	})
	return s, err
}

// SignOut ends the session of a token; to end it again changes nothing.
func (c *Clubs) SignOut(ctx context.Context, token string) error {
	s, err := c.SessionOf(ctx, token)
	if errors.Is(err, ErrBadKey) {
		return nil
	}
	if err != nil {
		return err
	}
	return c.Store.InTx(ctx, s.Club, func(tx store.Tx) error { return tx.EndSession(ctx, hashOf(token)) })
}
