package club

import (
	"context"
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"errors"

	"rootcue/internal/store"
)

// A link's token is random bytes and a seal over them, the assessment and the
// last moment of the link, under the club's own key.
const (
	linkRandom = 24
	linkSeal   = 16
)

// longestLink is how many days a link may last.
const longestLink = 366

// ErrNotReleased: no instructor has released the assessment.
var ErrNotReleased = errors.New("not released")

// AddLink makes a link by which a family reads one report without a key, for
// some days. It gives the token, which is shown once.
func (c *Clubs) AddLink(ctx context.Context, a Actor, assessment string, days int) (l store.Link, token string, err error) {
	if days < 1 || days > longestLink {
		return l, "", refuse("out-of-range", "/days", "a link of so many days", "1 to 366 days", "")
	}
	err = c.write(ctx, a, func(tx store.Tx) error {
		if err := mayRead(ctx, tx, assessment); err != nil {
			return err
		}
		club, err := tx.Club(ctx)
		if err != nil {
			return err
		}
		l = store.Link{AssessmentID: assessment, Who: a.KeyID, Expires: store.At(tx.Now().AddDate(0, 0, days))}
		random := make([]byte, linkRandom)
		rand.Read(random) // never fails (crypto/rand)
		token = base64.RawURLEncoding.EncodeToString(append(random, sealLink(club, random, l)...))
		l.ID, l.Hash = store.NewID(), hashOf(token)
		if l, err = tx.AddLink(ctx, l); err != nil {
			return err
		}
		return logged(ctx, tx, a.KeyID, "link.added", "link/"+l.ID, map[string]any{"assessment": assessment, "expires": l.Expires})
	})
	return l, token, err
}

func sealLink(club store.Club, random []byte, l store.Link) []byte {
	m := hmac.New(sha256.New, []byte("link "+club.LogKey))
	m.Write(random)
	m.Write([]byte(l.AssessmentID + " " + l.Expires.String()))
	return m.Sum(nil)[:linkSeal]
}

// mayRead tells whether a family may read an assessment: it counts now and,
// where the club wants that, an instructor has released it.
func mayRead(ctx context.Context, tx store.Tx, id string) error {
	row, err := tx.Assessment(ctx, id)
	if err != nil {
		return err
	}
	if row.Status != store.Current {
		return ErrReplaced
	}
	s, err := settingsOf(ctx, tx)
	if err != nil || !s.ReviewFirst {
		return err
	}
	latest, err := tx.LatestReviews(ctx, []string{id})
	if err == nil && !latest[id].Released {
		return ErrNotReleased
	}
	return err
}

// Links lists the club's links, newest first; "" takes those of all
// assessments.
func (c *Clubs) Links(ctx context.Context, a Actor, assessment string) (list []store.Link, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		list, err = tx.Links(ctx, assessment)
		return err
	})
	return list, err
}

// RevokeLink ends a link at once.
func (c *Clubs) RevokeLink(ctx context.Context, a Actor, id string) error {
	return c.write(ctx, a, func(tx store.Tx) error {
		if err := tx.RevokeLink(ctx, id); err != nil {
			return err
		}
		return logged(ctx, tx, a.KeyID, "link.revoked", "link/"+id, struct{}{})
	})
}

// OpenLink gives the report a token leads to. One that is unknown, over,
// revoked, or of an assessment no longer for a family to read is
// store.ErrNotFound: which of them is not said.
func (c *Clubs) OpenLink(ctx context.Context, token string) (r Report, err error) {
	raw, err := base64.RawURLEncoding.Strict().DecodeString(token)
	if err != nil || len(raw) != linkRandom+linkSeal {
		return r, store.ErrNotFound
	}
	id, l, err := c.Store.LinkByHash(ctx, hashOf(token))
	if err != nil {
		return r, err
	}
	a := Actor{Club: id, KeyID: "link/" + l.ID, Health: true} // a family may know why
	err = c.view(ctx, a, func(tx store.Tx) error {
		club, err := tx.Club(ctx)
		if err != nil {
			return err
		}
		if l.RevokedAt != nil || !tx.Now().Before(l.Expires.Time) || !hmac.Equal(raw[linkRandom:], sealLink(club, raw[:linkRandom], l)) {
			return store.ErrNotFound
		}
		if err := mayRead(ctx, tx, l.AssessmentID); err != nil {
			return err
		}
		r, err = c.report(ctx, tx, a, l.AssessmentID)
		return err
	})
	if errors.Is(err, ErrNotReleased) || errors.Is(err, ErrReplaced) {
		err = store.ErrNotFound
	}
	return r, err
}
