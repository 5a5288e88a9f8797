package club_test

import (
	"context"
	"path/filepath"
	"testing"

	"github.com/go-json-experiment/json/jsontext"

	"rootcue/internal/club"
	"rootcue/internal/store"
	"rootcue/internal/store/sqlstore"
	"rootcue/internal/store/storetest"
)

func TestMain(m *testing.M) { storetest.Main(m) }

var ctx = context.Background()

// each runs a test on an embedded database and on PostgreSQL.
func each(t *testing.T, test func(t *testing.T, c *club.Clubs)) {
	t.Run("embedded", func(t *testing.T) { test(t, open(t, filepath.Join(t.TempDir(), "club.db"))) })
	t.Run("PostgreSQL", func(t *testing.T) { test(t, open(t, storetest.Postgres(t))) })
}

func embedded(t testing.TB) *club.Clubs { return open(t, filepath.Join(t.TempDir(), "club.db")) }

func open(t testing.TB, url string) *club.Clubs {
	t.Helper()
	db, err := sqlstore.Open(ctx, url)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := db.Close(); err != nil {
			t.Error(err)
		}
	})
	if err := db.Migrate(ctx); err != nil {
		t.Fatal(err)
	}
	return club.New(db)
}

// member makes a key in a club, and the club if need be, and gives who it lets in.
func member(t testing.TB, c *club.Clubs, name, role string) club.Actor {
	t.Helper()
	_, secret, err := c.AddFirstKey(ctx, name, club.NewKey{Role: role})
	if err != nil {
		t.Fatal(err)
	}
	id, k, err := c.Authenticate(ctx, secret)
	if err != nil {
		t.Fatal(err)
	}
	return club.Actor{Club: id, KeyID: k.ID, Limited: role == "read", Health: role == "edit" || role == "admin", Admin: role == "admin"}
}

// submit submits a source and gives all answers.
func submit(t testing.TB, c *club.Clubs, a club.Actor, src club.Source, err error) ([]club.Line, club.Done) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	var lines []club.Line
	done, err := c.Submit(ctx, a, src, func(more []club.Line) error { lines = append(lines, more...); return nil })
	if err != nil {
		t.Fatal(err)
	}
	return lines, done
}

// view reads from the store.
func view(t testing.TB, c *club.Clubs, a club.Actor, fn func(store.Tx) error) {
	t.Helper()
	if err := c.Store.View(ctx, a.Club, fn); err != nil {
		t.Fatal(err)
	}
}

// canonical is JSON with its keys in order and no blanks (RFC 8785).
func canonical(t testing.TB, b []byte) jsontext.Value {
	t.Helper()
	v := jsontext.Value(b).Clone()
	if err := v.Canonicalize(); err != nil {
		t.Fatal(err)
	}
	return v
}
