package club_test

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"strings"
	"testing"
	"time"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

func TestKeys(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		k, secret, err := c.AddFirstKey(ctx, "Harbour", club.NewKey{Label: "office", Role: "admin"})
		if err != nil {
			t.Fatal(err)
		}
		id, found, err := c.Authenticate(ctx, secret)
		if err != nil || found.ID != k.ID || found.Role != "admin" || id == "" {
			t.Fatalf("the key opens %q %+v, %v", id, found, err)
		}
		if !strings.HasPrefix(secret, k.Prefix) || len(secret) != 46 || strings.Contains(k.Hash, secret) {
			t.Errorf("key %d characters, prefix %q", len(secret), k.Prefix)
		}
		for name, bad := range map[string]string{
			"nothing": "", "cut": secret[:45], "longer": secret + "A", "another": secret[:45] + flip(secret[45]), "its prefix": k.Prefix, "its hash": k.Hash, "blank before": " " + secret,
		} {
			if _, _, err := c.Authenticate(ctx, bad); !errors.Is(err, club.ErrBadKey) {
				t.Errorf("%s: found %v, wanted ErrBadKey", name, err)
			}
		}
		who := club.Actor{Club: id, KeyID: k.ID}
		list, err := c.Keys(ctx, who)
		if err != nil || len(list) != 1 || list[0].LastUsed == nil {
			t.Fatalf("found %+v, %v; wanted one key that was used", list, err)
		}
		if err := c.RevokeKey(ctx, club.Actor{Club: id, KeyID: k.ID}, k.ID); err != nil {
			t.Fatal(err)
		}
		if err := c.RevokeKey(ctx, who, k.ID); err != nil {
			t.Errorf("revoked again: %v", err)
		}
		if _, _, err := c.Authenticate(ctx, secret); !errors.Is(err, club.ErrBadKey) {
			t.Errorf("a revoked key: found %v, wanted ErrBadKey", err)
		}
	})
}

func hashOf(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

func flip(b byte) string {
	if b == 'A' {
		return "E"
	}
	return "A"
}

// An expired key is none; the last day is the key's own.
func TestKeyExpires(t *testing.T) {
	c := embedded(t)
	today := time.Now().UTC().Format(time.DateOnly)
	_, secret, err := c.AddFirstKey(ctx, "Harbour", club.NewKey{Role: "read", Expires: today})
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := c.Authenticate(ctx, secret); err != nil {
		t.Errorf("on its last day: %v", err)
	}
	own, err := c.Store.ClubByName(ctx, "Harbour")
	if err != nil {
		t.Fatal(err)
	}
	old, gone := "rc_"+strings.Repeat("x", 43), store.At(time.Now().Add(-time.Second))
	err = c.Store.InTx(ctx, own.ID, func(tx store.Tx) error {
		_, err := tx.AddKey(ctx, store.Key{Prefix: old[:9], Hash: hashOf(old), Role: "admin", Expires: &gone})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := c.Authenticate(ctx, old); !errors.Is(err, club.ErrBadKey) {
		t.Errorf("after it: found %v, wanted ErrBadKey", err)
	}
}

func TestKeyRefused(t *testing.T) {
	c := embedded(t)
	for name, n := range map[string]club.NewKey{
		"no role": {}, "unknown role": {Role: "owner"}, "past": {Role: "read", Expires: "2001-01-01"}, "no date": {Role: "read", Expires: "soon"}, "no year after it": {Role: "read", Expires: "9999-12-31"}, "label": {Role: "read", Label: strings.Repeat("x", 201)},
	} {
		_, secret, err := c.AddFirstKey(ctx, "Harbour", n)
		if r := new(club.Refusal); !errors.As(err, &r) || secret != "" {
			t.Errorf("%s: found %v and %q, wanted a Refusal", name, err, secret)
		}
	}
	if clubs, err := c.Store.Clubs(ctx); err != nil || len(clubs) != 0 {
		t.Errorf("found %v, %v; wanted no club without a key", clubs, err)
	}
	if _, _, err := c.AddFirstKey(ctx, " ", club.NewKey{Role: "read"}); err == nil {
		t.Error("a club without a name is made")
	}
}

// A club has the shipped rubrics and policies from its first key on, once.
func TestFirstKeyMakesTheClub(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		a := member(t, c, "Harbour", "admin")
		member(t, c, "Harbour", "read")
		list, err := c.Rubrics(ctx, a)
		if err != nil || len(list) < 5 {
			t.Fatalf("%d rubrics, %v", len(list), err)
		}
		for _, v := range list {
			if v.Document.Version != 1 || v.Who != "system" {
				t.Errorf("%s is at version %d by %s", v.Name, v.Document.Version, v.Who)
			}
		}
		view(t, c, a, func(tx store.Tx) error {
			policies, err := tx.ActiveDocuments(ctx, store.KindPolicy)
			if len(policies) < 2 {
				t.Errorf("found %d policies", len(policies))
			}
			return err
		})
	})
}
