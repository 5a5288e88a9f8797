package torture_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"rootcue/internal/store/storetest"
)

// The server, and PostgreSQL below it, are killed at moments of chance while
// clubs work. What was acknowledged is there once, nothing is there half.
func TestKill(t *testing.T) {
	for _, kind := range []string{"SQLite", "PostgreSQL"} {
		t.Run(kind, func(t *testing.T) {
			t.Parallel()
			at, c := database(t, kind)
			s, b, r := newServer(t, at), newBook(), newReceiver(t)
			s.start()
			r.hook(s)
			drivers := newDrivers(s, b, 6)
			chance := rand.New(rand.NewPCG(*seed, 1000))
			for round := range *rounds {
				killOnce(t, s, c, drivers, chance)
				b.add("rounds", 1)
				if round%20 == 19 {
					t.Logf("%d rounds", round+1)
				}
			}
			settle(t, b, drivers)
			defer func() {
				if said := s.log(); t.Failed() {
					t.Logf("the program's errors end with: %s", said[max(0, len(said)-5000):])
				}
			}()
			db := connect(t, at, c)
			rest(t, b, db)
			check(t, s, b, db, r)
			b.report(t, "kill, "+kind)
		})
	}
}

// killOnce kills the server or its database under load and brings it back. A
// server whose database was killed has to find it again by itself.
func killOnce(t *testing.T, s *server, c *storetest.Cluster, drivers []*driver, chance *rand.Rand) {
	t.Helper()
	stop, stopped := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(stopped)
		drive(drivers, stop)
	}()
	time.Sleep(time.Duration(50+chance.IntN(1200)) * time.Millisecond)
	if c == nil || chance.IntN(2) == 0 {
		s.kill()
		<-stopped
		close(stop)
		s.start()
		return
	}
	if err := c.Kill(); err != nil {
		t.Fatal(err)
	}
	time.Sleep(time.Duration(chance.IntN(300)) * time.Millisecond) // clubs are told to come again
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	within(t, 30*time.Second, "the server to find its database again", func() bool {
		a, err := s.send(request{method: "GET", path: "/readyz"})
		return err == nil && a.status == 200
	})
	time.Sleep(100 * time.Millisecond)
	close(stop)
	<-stopped
}
