package torture_test

import (
	"fmt"
	"testing"
	"time"
)

// under lets clubs work while something is wrong, and then goes on until the
// server has come back to work by itself.
func under(t *testing.T, s *server, drivers []*driver, what string, wrong func()) {
	t.Helper()
	b := drivers[0].b
	before := b.times("503") + b.times("503 in the middle")
	stop, stopped := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(stopped)
		drive(drivers, stop)
	}()
	time.Sleep(300 * time.Millisecond)
	wrong()
	within(t, 30*time.Second, "the server to work again after "+what, func() bool {
		a, err := s.send(request{method: "PUT", path: "/v1/players/back", key: s.admin, body: `{"age": 12}`})
		return err == nil && a.status == 200
	})
	close(stop)
	<-stopped
	refused := b.times("503") + b.times("503 in the middle") - before
	t.Logf("%s: %d times 503", what, refused)
	if refused == 0 {
		t.Errorf("%s: nobody was told to come again", what)
	}
	b.add("faults", 1)
}

func (b *book) times(what string) (n int) {
	b.note(func() { n = b.count[what] })
	return n
}

// The network to PostgreSQL breaks and stalls in the middle of imports.
func TestNetworkFaults(t *testing.T) {
	t.Parallel()
	at, c := database(t, "PostgreSQL")
	p := newProxy(t, c.Socket())
	s, b := newServer(t, p.url(at)), newBook()
	s.start()
	drivers := newDrivers(s, b, 4)
	for i := range min(*rounds, 10) {
		under(t, s, drivers, fmt.Sprintf("cut %d of the network", i+1), func() {
			p.cut(true)
			time.Sleep(time.Second)
			p.cut(false)
		})
	}
	stalled(t, s, p)
	settle(t, b, drivers)
	db := connect(t, at, c)
	rest(t, b, db)
	check(t, s, b, db, nil)
	b.report(t, "network faults")
}

// stalled holds the network up without breaking it: readiness says so at once,
// and what was sent is answered when it moves again.
func stalled(t *testing.T, s *server, p *proxy) {
	t.Helper()
	p.stall(true)
	a, err := s.send(request{method: "GET", path: "/readyz"})
	if err != nil || a.status != 503 || a.header.Get("Retry-After") == "" {
		t.Errorf("while the network stalls, readiness is answered %d, %v: %s", a.status, err, a.body)
	}
	p.stall(false)
	within(t, 20*time.Second, "readiness", func() bool {
		a, err := s.send(request{method: "GET", path: "/readyz"})
		return err == nil && a.status == 200
	})
}
