package jobs_test

import (
	"errors"
	"testing"

	"rootcue/internal/store"
	"rootcue/internal/store/storetest"
)

// A database that goes away while a job is put in with a transaction, or asked
// about, is unavailable, as it is to everything else that is kept in it.
func TestDatabaseGoesAway(t *testing.T) {
	t.Parallel()
	c, err := storetest.NewCluster("fsync=off")
	if c != nil {
		t.Cleanup(func() { _ = c.Stop() }) // it is gone already when all went well
	}
	if err != nil {
		t.Fatal(err)
	}
	url, err := c.Database()
	if err != nil {
		t.Fatal(err)
	}
	s := serve(t, url)
	a := s.admin(t, "North")
	if err := s.db.InTx(ctx, a.Club, func(tx store.Tx) error {
		if err := c.Kill(); err != nil {
			t.Fatal(err)
		}
		return s.queue.Deliver(ctx, tx, "any")
	}); !errors.Is(err, store.ErrUnavailable) {
		t.Errorf("a job goes in: %v", err)
	}
	if _, err := s.queue.Job(ctx, a.Club, "any"); !errors.Is(err, store.ErrUnavailable) {
		t.Errorf("a job is asked about: %v", err)
	}
	if _, err := s.queue.CancelJob(ctx, a.Club, "any"); !errors.Is(err, store.ErrUnavailable) {
		t.Errorf("a job is cancelled: %v", err)
	}
	_ = s.db.Close() // what it says of connections that are dead is no news
}
