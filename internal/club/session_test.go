package club_test

import (
	"errors"
	"testing"
	"time"

	"rootcue/internal/club"
	"rootcue/internal/store/sqlstore"
)

func TestSession(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		admin := member(t, c, "Harbour", "admin")
		key, secret, err := c.AddKey(ctx, admin, club.NewKey{Label: "tablet", Role: "submit"})
		if err != nil {
			t.Fatal(err)
		}
		token, made, err := c.SignIn(ctx, secret)
		if err != nil {
			t.Fatal(err)
		}
		if token == secret || made.CSRF == "" || made.CSRF == token {
			t.Errorf("token, key and the pages' own secret must differ")
		}
		s, err := c.SessionOf(ctx, token)
		if err != nil || s.Club != admin.Club || s.ClubName != "Harbour" || s.Key.ID != key.ID || s.Key.Role != "submit" || s.CSRF != made.CSRF {
			t.Errorf("the session is %+v (%v)", s, err)
		}
		for _, bad := range []string{"", secret, token[:45] + "x", token + "x"} {
			if _, err := c.SessionOf(ctx, bad); !errors.Is(err, club.ErrBadKey) {
				t.Errorf("SessionOf(%q): %v", bad, err)
			}
		}
		if _, _, err := c.SignIn(ctx, token); !errors.Is(err, club.ErrBadKey) {
			t.Errorf("a token signs in: %v", err)
		}
		for range 2 { // the second time changes nothing
			if err := c.SignOut(ctx, token); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := c.SessionOf(ctx, token); !errors.Is(err, club.ErrBadKey) {
			t.Errorf("after signing out: %v", err)
		}
	})
}

// A revoked key ends its sessions; so does its last day, and the session's own.
func TestSessionEnds(t *testing.T) {
	c := embedded(t)
	db := c.Store.(*sqlstore.DB)
	admin := member(t, c, "Harbour", "admin")
	begin := time.Now()
	for _, end := range []struct {
		name    string
		expires string
		revoke  bool
		days    int
		open    bool
	}{
		{"thirteen days on", "", false, 13, true},
		{"fourteen days on", "", false, 14, false},
		{"revoked", "", true, 0, false},
		{"on the key's last day", begin.AddDate(0, 0, 3).UTC().Format(time.DateOnly), false, 3, true},
		{"after the key's last day", begin.AddDate(0, 0, 3).UTC().Format(time.DateOnly), false, 4, false},
	} {
		db.Clock = func() time.Time { return begin }
		key, secret, err := c.AddKey(ctx, admin, club.NewKey{Role: "edit", Expires: end.expires})
		if err != nil {
			t.Fatal(err)
		}
		token, _, err := c.SignIn(ctx, secret)
		if err != nil {
			t.Fatal(err)
		}
		if end.revoke {
			if err := c.RevokeKey(ctx, admin, key.ID); err != nil {
				t.Fatal(err)
			}
		}
		db.Clock = func() time.Time { return begin.AddDate(0, 0, end.days) }
		if _, err := c.SessionOf(ctx, token); (err == nil) != end.open {
			t.Errorf("%s: %v", end.name, err)
		}
	}
}
