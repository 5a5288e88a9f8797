package storetest

import (
	"errors"
	"testing"

	"rootcue/internal/store"
)

func clubs(t *testing.T, s store.Store) {
	b, a := NewClub(t, s, "Birch"), NewClub(t, s, "Alder")
	all := must(s.Clubs(ctx))(t)
	if len(all) != 2 || all[0].ID != a || all[1].ID != b {
		t.Fatalf("found %v, want Alder, Birch", all)
	}
	same(t, must(s.ClubByName(ctx, "Birch"))(t), all[1])
	_, err := s.ClubByName(ctx, "birch")
	is(t, err, store.ErrNotFound)
	_, err = s.CreateClub(ctx, store.Club{Name: "Birch"}, func(store.Tx) error { return nil })
	is(t, err, store.ErrConflict)
	_, err = s.CreateClub(ctx, store.Club{}, func(store.Tx) error { return nil })
	is(t, err, store.ErrInvalid)

	do(t, s, a, func(tx store.Tx) { // what it changes, a transaction sees
		before := must(tx.Club(ctx))(t)
		ok(t, tx.PutSettings(ctx, store.JSON(`{"release_required":true}`)))
		same(t, string(must(tx.Club(ctx))(t).Settings), `{"release_required":true}`)
		for n := range int64(2) {
			ok(t, tx.AppendChanges(ctx, []store.Change{{Who: "k", What: "club.settings-changed"}}))
			same(t, must(tx.Club(ctx))(t).LogSeq, before.LogSeq+1+n)
		}
		same(t, must(tx.VerifyChanges(ctx))(t), before.LogSeq+2)
	})
	see(t, s, a, func(tx store.Tx) {
		c := must(tx.Club(ctx))(t)
		same(t, string(c.Settings), `{"release_required":true}`)
		if len(c.LogKey) != 64 || c.LogKey == all[1].LogKey {
			t.Fatal("want a log key of 256 bits for each club")
		}
		same(t, tx.ClubID(), a)
	})
	fails(t, s, a, store.ErrInvalid, func(tx store.Tx) error { return tx.PutSettings(ctx, store.JSON(`{`)) })
	fails(t, s, store.NewID(), store.ErrNotFound, func(tx store.Tx) error { return tx.PutSettings(ctx, nil) })
	fails(t, s, store.NewID(), store.ErrNotFound, func(tx store.Tx) error { _, err := tx.Club(ctx); return err })
	fails(t, s, store.NewID(), store.ErrInvalid, func(tx store.Tx) error { return tx.EnsurePlayers(ctx, "P-1") })
}

func clubWhole(t *testing.T, s store.Store) {
	stop := errors.New("no key")
	_, err := s.CreateClub(ctx, store.Club{Name: "Alder"}, func(store.Tx) error { return stop })
	is(t, err, stop)
	same(t, must(s.Clubs(ctx))(t), []store.Club{})
}

func keys(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	var k store.Key
	do(t, s, club, func(tx store.Tx) {
		k = must(tx.AddKey(ctx, store.Key{Label: "phone", Prefix: "rc_ab", Hash: Hash("phone"), Role: "submit", Expires: later().Ptr()}))(t)
		same(t, k.CreatedAt, tx.Now())
	})
	found, got, err := s.KeyByHash(ctx, Hash("phone"))
	ok(t, err)
	same(t, found, club)
	same(t, got, k)
	_, _, err = s.KeyByHash(ctx, Hash("other"))
	is(t, err, store.ErrNotFound)

	var used, revoked store.Time
	do(t, s, club, func(tx store.Tx) { used = tx.Now(); ok(t, tx.TouchKey(ctx, k.ID)) })
	do(t, s, club, func(tx store.Tx) { revoked = tx.Now(); ok(t, tx.RevokeKey(ctx, k.ID)) })
	do(t, s, club, func(tx store.Tx) { ok(t, tx.RevokeKey(ctx, k.ID)) }) // the first time counts
	k.LastUsed, k.RevokedAt = &used, &revoked
	see(t, s, club, func(tx store.Tx) {
		same(t, must(tx.Key(ctx, k.ID))(t), k)
		all := must(tx.Keys(ctx))(t)
		same(t, []string{all[0].Label, all[1].Label}, []string{"first", "phone"})
	})

	for _, bad := range []struct {
		key  store.Key
		want error
	}{
		{store.Key{Hash: Hash("phone"), Role: "read"}, store.ErrConflict},
		{store.Key{Hash: Hash("x"), Role: "owner"}, store.ErrInvalid},
		{store.Key{Hash: "short", Role: "read"}, store.ErrInvalid},
	} {
		fails(t, s, club, bad.want, func(tx store.Tx) error { _, err := tx.AddKey(ctx, bad.key); return err })
	}
	fails(t, s, club, store.ErrNotFound, func(tx store.Tx) error { return tx.TouchKey(ctx, "none") })
	fails(t, s, club, store.ErrNotFound, func(tx store.Tx) error { return tx.RevokeKey(ctx, "none") })
	fails(t, s, club, store.ErrNotFound, func(tx store.Tx) error { _, err := tx.Key(ctx, "none"); return err })
}

func sessions(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	var key store.Key
	do(t, s, club, func(tx store.Tx) {
		key = must(tx.AddKey(ctx, store.Key{Hash: Hash("k"), Role: "edit"}))(t)
		for _, h := range []string{"a", "b", "c"} {
			ok(t, tx.AddSession(ctx, store.Session{Hash: Hash(h), KeyID: key.ID, CSRF: "t" + h, Expires: later()}))
		}
	})
	found, got, err := s.SessionByHash(ctx, Hash("b"))
	ok(t, err)
	same(t, []string{found, got.KeyID, got.CSRF}, []string{club, key.ID, "tb"})
	do(t, s, club, func(tx store.Tx) { ok(t, tx.EndSession(ctx, Hash("a"))) })
	_, _, err = s.SessionByHash(ctx, Hash("a"))
	is(t, err, store.ErrNotFound)
	do(t, s, club, func(tx store.Tx) { ok(t, tx.RevokeKey(ctx, key.ID)) })
	_, _, err = s.SessionByHash(ctx, Hash("c"))
	is(t, err, store.ErrNotFound)
	fails(t, s, club, store.ErrInvalid, func(tx store.Tx) error {
		return tx.AddSession(ctx, store.Session{Hash: Hash("z"), KeyID: "none", Expires: later()})
	})
}
