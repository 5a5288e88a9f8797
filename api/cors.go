package api

import (
	"context"
	"net/http"
	"slices"
	"sync"
	"time"

	"github.com/gin-gonic/gin"
)

// originsFor is how long the clubs' lists of origins are gone by before they
// are read again.
const originsFor = 5 * time.Second

// Headers a web page may send and read.
const (
	corsSent = "Authorization, Content-Type, Content-Encoding, Idempotency-Key, If-Match, If-None-Match, Prefer, traceparent, " + RequestIDHeader
	corsRead = "Deprecation, ETag, Link, Location, RateLimit, RateLimit-Policy, Retry-After, Sunset, " + RequestIDHeader
)

// cors answers a web page's question whether it may call (WHATWG Fetch, "CORS
// protocol"): pages of Options.CORS may, and pages of a club's own list. The
// question comes without a key, so that it cannot be told yet whose page asks;
// the answer to the call itself is shown to pages of the key's club alone, see
// ownPage.
func (s *Server) cors(c *gin.Context) {
	h := c.Writer.Header()
	h.Add("Vary", "Origin")
	origin := c.GetHeader("Origin")
	if origin == "" || !slices.Contains(s.CORS, origin) && len(s.clubsOf(c.Request.Context(), origin)) == 0 {
		return
	}
	h.Set("Access-Control-Allow-Origin", origin)
	h.Set("Access-Control-Expose-Headers", corsRead)
	if c.Request.Method == http.MethodOptions && c.GetHeader("Access-Control-Request-Method") != "" {
		h.Set("Access-Control-Allow-Methods", "GET, HEAD, POST, PUT, PATCH, DELETE")
		h.Set("Access-Control-Allow-Headers", corsSent)
		h.Set("Access-Control-Max-Age", "7200")
		c.AbortWithStatus(http.StatusNoContent)
	}
}

// ownPage hides the answer from a page of another club than the key's.
func (s *Server) ownPage(c *gin.Context, p Principal) {
	origin := c.GetHeader("Origin")
	if origin == "" || slices.Contains(s.CORS, origin) || slices.Contains(s.clubsOf(c.Request.Context(), origin), p.Club) {
		return
	}
	c.Writer.Header().Del("Access-Control-Allow-Origin")
}

// origins are the lists of all clubs, as last read.
type origins struct {
	mu    sync.Mutex
	at    time.Time
	clubs map[string][]string // ids, by origin
}

// clubsOf lists the clubs whose pages are at an origin. While the database is
// away, what was last read holds.
func (s *Server) clubsOf(ctx context.Context, origin string) []string {
	if s.Clubs == nil {
		return nil
	}
	s.origins.mu.Lock()
	defer s.origins.mu.Unlock()
	if now := s.Now(); s.origins.clubs == nil || now.Sub(s.origins.at) >= originsFor {
		if read, err := s.Clubs.Origins(ctx); err == nil {
			s.origins.at, s.origins.clubs = now, read
		}
	}
	return s.origins.clubs[origin]
}
