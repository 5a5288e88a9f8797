package storetest

import (
	"testing"

	"rootcue/internal/store"
)

func groups(t *testing.T, s store.Store) {
	alder, birch := NewClub(t, s, "Alder"), NewClub(t, s, "Birch")
	do(t, s, alder, func(tx store.Tx) { ok(t, tx.EnsurePlayers(ctx, "P-1", "P-2", "P-3")) })
	do(t, s, birch, func(tx store.Tx) { ok(t, tx.EnsurePlayers(ctx, "P-9")) })
	put := func(club, name string, refs ...string) (g store.Group) {
		do(t, s, club, func(tx store.Tx) { g = must(tx.PutGroup(ctx, name, refs))(t) })
		return g
	}
	refs := func(club string, names ...string) (refs []string) {
		see(t, s, club, func(tx store.Tx) {
			for _, m := range must(tx.Members(ctx, names...))(t) {
				refs = append(refs, m.GroupName+" "+m.PlayerRef)
			}
		})
		return refs
	}
	first := put(alder, "monday", "P-2", "P-1", "P-2") // twice is once
	same(t, refs(alder, "monday"), []string{"monday P-1", "monday P-2"})
	put(birch, "monday", "P-9") // another club's group of the same name
	put(alder, "friday")
	var since store.Time
	see(t, s, alder, func(tx store.Tx) { since = must(tx.Members(ctx, "monday"))(t)[1].At })
	again := put(alder, "monday", "P-3", "P-2")
	same(t, []any{again.Name, again.CreatedAt, again.UpdatedAt.After(first.UpdatedAt.Time)}, []any{"monday", first.CreatedAt, true})
	same(t, refs(alder, "monday", "friday"), []string{"monday P-2", "monday P-3"})
	same(t, refs(alder), []string(nil))
	same(t, refs(birch, "monday"), []string{"monday P-9"})
	see(t, s, alder, func(tx store.Tx) {
		same(t, must(tx.Members(ctx, "monday"))(t)[0].At, since) // who stays, stays since then
		same(t, must(tx.GroupsOf(ctx, "P-2"))(t), []string{"monday"})
		same(t, must(tx.GroupsOf(ctx, "P-1"))(t), []string{})
		same(t, must(tx.Group(ctx, "monday"))(t), again)
		_, err := tx.Group(ctx, "none")
		is(t, err, store.ErrNotFound)
		all := must(tx.Groups(ctx, "", 0))(t)
		same(t, []string{all[0].Name, all[1].Name}, []string{"friday", "monday"})
		same(t, must(tx.Groups(ctx, "friday", 1))(t), []store.Group{again})
	})
	fails(t, s, alder, store.ErrInvalid, func(tx store.Tx) error {
		_, err := tx.PutGroup(ctx, "monday", []string{"P-1", "P-9"}) // not of this club
		return err
	})
	fails(t, s, alder, store.ErrNotFound, func(tx store.Tx) error { return tx.DeleteGroup(ctx, "none") })
	do(t, s, alder, func(tx store.Tx) { ok(t, tx.DeleteGroup(ctx, "monday")) })
	same(t, refs(alder, "monday"), []string(nil))
	same(t, refs(birch, "monday"), []string{"monday P-9"})
	see(t, s, alder, func(tx store.Tx) { must(tx.Player(ctx, "P-2"))(t) }) // players stay
	// An erased player leaves the group, which stays.
	put(alder, "friday", "P-2", "P-3")
	do(t, s, alder, func(tx store.Tx) { must(tx.ErasePlayer(ctx, "P-2", "k"))(t) })
	same(t, refs(alder, "friday"), []string{"friday P-3"})
}
