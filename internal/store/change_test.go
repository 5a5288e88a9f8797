package store_test

import (
	"crypto/sha256"
	"encoding/hex"
	"testing"
	"time"

	"rootcue/internal/store"
)

// The encoding is fixed: a log written today is verified by later programs. The
// text is spelt out here, its digest taken by the standard library (FIPS 180-4).
func TestChainHash(t *testing.T) {
	c := store.Change{
		Seq: 2, At: store.At(time.Date(2026, 5, 9, 18, 0, 0, 0, time.UTC)), Who: "k1", What: "rubric.published",
		Entity: "rubric/blocking", Detail: store.JSON(`{"version":2}`), PrevHash: "not taken from here", Hash: "nor this",
	}
	sum := sha256.Sum256([]byte(`2:ab4:club1:227:2026-05-09T18:00:00.000000Z2:k116:rubric.published15:rubric/blocking13:{"version":2}`))
	if got, want := store.ChainHash("club", "ab", c), hex.EncodeToString(sum[:]); got != want {
		t.Errorf("found %s, want %s", got, want)
	}
	c.Detail = nil // is kept as {}
	empty := store.ChainHash("club", "ab", c)
	c.Detail = store.JSON(`{}`)
	if got := store.ChainHash("club", "ab", c); got != empty {
		t.Errorf("found %s, want %s", got, empty)
	}
}

// Every field counts, and a letter moved from one field to the next shows.
func TestChainHashCoversAll(t *testing.T) {
	base := store.Change{Seq: 1, Who: "ab", What: "cd", Entity: "ef", Detail: store.JSON(`{}`)}
	seen := map[string]string{}
	add := func(name, club, prev string, edit func(*store.Change)) {
		c := base
		edit(&c)
		h := store.ChainHash(club, prev, c)
		if other, ok := seen[h]; ok {
			t.Errorf("%s and %s have one hash", name, other)
		}
		seen[h] = name
	}
	add("base", "club", "p", func(*store.Change) {})
	add("club", "clubs", "p", func(*store.Change) {})
	add("prev", "club", "q", func(*store.Change) {})
	add("moved from prev to club", "pclub", "", func(*store.Change) {})
	add("seq", "club", "p", func(c *store.Change) { c.Seq = 2 })
	add("at", "club", "p", func(c *store.Change) { c.At = store.At(time.Unix(1, 0)) })
	add("who", "club", "p", func(c *store.Change) { c.Who = "a" })
	add("moved from who to what", "club", "p", func(c *store.Change) { c.Who, c.What = "a", "bcd" })
	add("what", "club", "p", func(c *store.Change) { c.What = "c" })
	add("entity", "club", "p", func(c *store.Change) { c.Entity = "e" })
	add("detail", "club", "p", func(c *store.Change) { c.Detail = store.JSON(`[]`) })
}

// RFC 4231, test case 2: key "Jefe", data "what do ya want for nothing?".
func TestErasureProof(t *testing.T) {
	const want = "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"
	if got := store.ErasureProof("Jefe", "what do ya want for nothing?"); got != want {
		t.Errorf("found %s, want %s", got, want)
	}
}
