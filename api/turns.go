package api

import (
	"context"
	"io"
	"net/http"
	"slices"
	"sync"
	"time"

	"github.com/gin-gonic/gin"
)

// What a server takes on at once. More in work would be no faster, and a longer
// queue would only let everyone wait: who is not taken on is told so at once,
// which costs next to nothing, and what is begun is done in time.
const (
	MostInWork  = 32 // requests
	MostWaiting = 64 // requests; none longer than patience
	patience    = 2 * time.Second

	mostImports        = 8 // bodies answered line by line, beside the requests
	mostImportsWaiting = 32
)

// turns are had by so many at once; others wait for theirs in a queue.
type turns struct {
	most     int // waiting
	patience time.Duration

	mu    sync.Mutex
	free  int             // below 0 while more came back from their clients than there are turns
	queue []chan struct{} // closed when it is their turn
}

func newTurns(inWork, waiting int, patience time.Duration) *turns {
	return &turns{most: waiting, patience: patience, free: inWork}
}

// take waits for a turn; false when there is none in time, or too many wait.
func (t *turns) take(ctx context.Context) bool {
	t.mu.Lock()
	if t.free > 0 {
		t.free--
		t.mu.Unlock()
		return true
	}
	if len(t.queue) >= t.most {
		t.mu.Unlock()
		return false
	}
	mine := make(chan struct{})
	t.queue = append(t.queue, mine)
	t.mu.Unlock()
	timer := time.NewTimer(t.patience)
	defer timer.Stop()
	select {
	case <-mine:
		return true
	case <-timer.C:
	case <-ctx.Done():
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	at := slices.Index(t.queue, mine)
	if at < 0 { // it came just now
		return true
	}
	t.queue = slices.Delete(t.queue, at, at+1)
	return false
}

// give gives a turn back, to the first in the queue.
func (t *turns) give() {
	t.mu.Lock()
	defer t.mu.Unlock()
	for t.free++; t.free > 0 && len(t.queue) > 0; t.free-- {
		close(t.queue[0])
		t.queue = slices.Delete(t.queue, 0, 1)
	}
}

// lend gives the turn to others while wait waits for the client, which may take
// long. Who comes back goes on at once: it was in work already.
func (t *turns) lend(wait func()) {
	if t == nil {
		wait()
		return
	}
	t.give()
	defer func() {
		t.mu.Lock()
		t.free--
		t.mu.Unlock()
	}()
	wait()
}

// enter waits for the request's turn. leave has to be called after its work.
func (s *Server) enter(c *gin.Context, r *Route) (leave func(), p *Problem) {
	if r.Unlimited {
		return func() {}, nil
	}
	of := s.turns
	if r.streams(c) {
		of = s.imports
	}
	if !of.take(c.Request.Context()) {
		return nil, Unavailable.Say("the server has as much to do as it can").With("Retry-After", "1")
	}
	c.Request.Body = &lentBody{c.Request.Body, of}
	c.Writer.(*heldWriter).turn = of
	return of.give, nil
}

// A lentBody lends the turn while it waits for what the client sends.
type lentBody struct {
	io.ReadCloser
	turn *turns
}

// Read reads what comes.
func (b *lentBody) Read(p []byte) (n int, err error) {
	if b.ReadCloser == http.NoBody {
		return 0, io.EOF
	}
	b.turn.lend(func() { n, err = b.ReadCloser.Read(p) })
	return n, err
}

// idle lends the request's turn while fn waits for something to happen.
func idle(c *gin.Context, fn func()) { c.Writer.(*heldWriter).turn.lend(fn) }
