package torture_test

import (
	"context"
	"database/sql"
	"math/rand/v2"
	"sync"
	"testing"
	"time"

	"rootcue/internal/store/storetest"
)

// Where nothing can be written for a while, so much waits and the rest is refused
// at once; health and readiness are answered. Then what waited is done.
func TestShed(t *testing.T) {
	for _, kind := range []string{"SQLite", "PostgreSQL"} {
		t.Run(kind, func(t *testing.T) {
			t.Parallel()
			at, c := database(t, kind)
			s := newServer(t, at)
			s.start()
			l, o := &load{server: s, keys: s.keys("submit", 20)}, newOffer(0)
			db := connect(t, at, c)
			unlock := lock(t, db, c)
			var all sync.WaitGroup
			for i := range 300 {
				all.Go(func() { l.one(rand.New(rand.NewPCG(*seed, uint64(3200+i))), time.Now(), o) })
			}
			within(t, time.Minute, "refusals", func() bool {
				o.mu.Lock()
				defer o.mu.Unlock()
				return o.shed[503] > 100
			})
			for _, path := range []string{"/healthz", "/readyz", "/metrics", "/openapi.json"} {
				s.must(request{method: "GET", path: path, key: "torture"}, 200, nil)
			}
			unlock()
			all.Wait()
			if stored := int64(count(t, db, `SELECT count(*) FROM observations`)); stored != l.stored.Load() || stored == 0 || o.sent != 300 {
				t.Errorf("%d of %d observations were acknowledged, %d are stored", l.stored.Load(), o.sent, stored)
			}
			t.Logf("shed, %s: seed %d, %d acknowledged, %v refused", kind, *seed, l.stored.Load(), o.shed)
		})
	}
}

// lock keeps the server from writing until unlock is called.
func lock(t *testing.T, db *sql.DB, c *storetest.Cluster) (unlock func()) {
	t.Helper()
	ctx := context.Background()
	conn, err := db.Conn(ctx)
	if err != nil {
		t.Fatal(err)
	}
	begin := "BEGIN IMMEDIATE"
	if c != nil {
		begin = "BEGIN; LOCK TABLE observations IN EXCLUSIVE MODE"
	}
	if _, err := conn.ExecContext(ctx, begin); err != nil {
		t.Fatal(err)
	}
	return func() {
		t.Helper()
		if _, err := conn.ExecContext(ctx, "ROLLBACK"); err != nil {
			t.Fatal(err)
		}
		if err := conn.Close(); err != nil {
			t.Error(err)
		}
	}
}
