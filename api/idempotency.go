package api

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"regexp"
	"time"

	"github.com/gin-gonic/gin"
)

// A KeptAnswer is what a request with an Idempotency-Key was answered.
type KeptAnswer struct {
	BodyHash    string // SHA-256 of method, path and body, hex
	InFlight    bool   // begun, not answered yet
	Status      int
	ContentType string
	Body        []byte
}

// Answers keep answers to writes, so that the same request sent twice is done
// once and answered twice. Keys are the club's own: the same key of two clubs
// is two keys.
type Answers interface {
	// Begin marks a key as in flight and gives nil; or gives what is kept
	// under it and marks nothing.
	Begin(ctx context.Context, p Principal, key, route, bodyHash string, keep time.Duration) (*KeptAnswer, error)
	// Finish keeps the answer under a key in flight.
	Finish(ctx context.Context, p Principal, key, route string, a KeptAnswer) error
	// Drop forgets a key in flight, so that the request can be tried again.
	Drop(ctx context.Context, p Principal, key string) error
}

// keepAnswers is how long an answer is given again.
const keepAnswers = 24 * time.Hour

// answerWithin is how long a request with a key can be under way. A mark older
// than that was left by a server that is gone: the request is done anew, which
// finds by its content what was stored already.
const answerWithin = time.Minute

var goodIdempotencyKey = regexp.MustCompile(`^[\x21-\x7e]{1,128}$`)

// replay answers a write with an Idempotency-Key (IETF draft "The
// Idempotency-Key HTTP Header Field"): the first time by doing it, after that
// with what was answered then. A server's own failure is not kept.
func (s *Server) replay(c *gin.Context, r *Route, do func()) {
	kept, key, hash, problem := s.beginReplay(c, r)
	switch {
	case problem != nil:
		s.refuse(c, problem)
		return
	case kept != nil:
		c.Header("Idempotency-Replayed", "true")
		c.Header("Content-Type", kept.ContentType)
		c.Status(kept.Status)
		_, _ = c.Writer.Write(kept.Body) // held back: it cannot fail
		return
	}
	ctx := context.WithoutCancel(c.Request.Context()) // a client gone must not leave the key in flight
	p, _ := PrincipalOf(ctx)
	done := false
	defer func() {
		if !done { // a panic passes by
			_ = s.Answers.Drop(ctx, p, key)
		}
	}()
	do()
	done = true
	if err := s.endReplay(ctx, c, r, p, key, hash); err != nil {
		_ = c.Error(err) // to the log: the write is done and answered all the same
	}
}

func (s *Server) beginReplay(c *gin.Context, r *Route) (*KeptAnswer, string, string, *Problem) {
	key := c.GetHeader("Idempotency-Key")
	if !goodIdempotencyKey.MatchString(key) || s.Answers == nil {
		return nil, "", "", NotValid.At(Slip{Code: "bad-idempotency-key", Parameter: "header.Idempotency-Key", Found: "a key that cannot be used", Wanted: "1 to 128 visible ASCII characters"})
	}
	body, err := io.ReadAll(c.Request.Body)
	if err != nil {
		return nil, "", "", failed(err)
	}
	c.Request.Body = io.NopCloser(bytes.NewReader(body))
	digest := sha256.Sum256(append([]byte(c.Request.Method+" "+c.Request.URL.RequestURI()+"\n"), body...))
	hash := hex.EncodeToString(digest[:])
	p, _ := PrincipalOf(c.Request.Context())
	kept, err := s.Answers.Begin(c.Request.Context(), p, key, r.ID, hash, answerWithin)
	switch {
	case err != nil:
		return nil, "", "", failed(err)
	case kept == nil:
		return nil, key, hash, nil
	case kept.BodyHash != hash:
		return nil, "", "", KeyReused.At(Slip{Code: "key-reused", Parameter: "header.Idempotency-Key", Found: "the key of another request", Wanted: "a new key for a new request"})
	case kept.InFlight:
		return nil, "", "", InFlight.Say("a request with this key is still being answered").With("Retry-After", "1")
	}
	return kept, key, hash, nil
}

func (s *Server) endReplay(ctx context.Context, c *gin.Context, r *Route, p Principal, key, hash string) error {
	w := c.Writer.(*heldWriter)
	if w.Status() >= 500 || w.streams {
		return s.Answers.Drop(ctx, p, key)
	}
	return s.Answers.Finish(ctx, p, key, r.ID, KeptAnswer{BodyHash: hash, Status: w.Status(), ContentType: w.Header().Get("Content-Type"), Body: bytes.Clone(w.held.Bytes())})
}
