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
		_, _ = tx.SQL().Exec("SELECT pg_terminate_backend(pg_backend_pid())") // it is the last that the connection does
		return s.queue.Deliver(ctx, tx, "any")
	}); !errors.Is(err, store.ErrUnavailable) {
		t.Errorf("a job goes in: %v", err)
	}
	if err := c.Kill(); err != nil {
		t.Fatal(err)
	}
	// The processes of a killed server answer until they notice.
	waitFor(t, "a job to be asked about in vain", func() bool {
		_, err := s.queue.Job(ctx, a.Club, "any")
		return errors.Is(err, store.ErrUnavailable)
	})
	waitFor(t, "a job to be cancelled in vain", func() bool {
		_, err := s.queue.CancelJob(ctx, a.Club, "any")
		return errors.Is(err, store.ErrUnavailable)
	})
	_ = s.db.Close() // what it says of connections that are dead is no news
}
