package api

import (
	"fmt"
	"net/http"
	"runtime/debug"
	"slices"
	"strings"

	"github.com/gin-gonic/gin"
)

// recover answers a panic with 500. The stack goes to the log, never out.
func (s *Server) recover(c *gin.Context) {
	defer func() {
		v := recover()
		if v == nil {
			return
		}
		if v == http.ErrAbortHandler {
			panic(v) // the server's way of cutting a connection
		}
		s.Log.Error("panic", "request_id", RequestID(c.Request.Context()), "says", fmt.Sprint(v), "stack", string(debug.Stack()))
		w := c.Writer.(*heldWriter)
		if w.streams {
			panic(http.ErrAbortHandler) // half an answer is out: cut it, so that nobody takes it for a whole one
		}
		w.discard(RequestIDHeader, "Deprecation", "Sunset")
		s.refuse(c, Internal.Say("something went wrong on the server; its log says more under this request's id"))
	}()
	c.Next()
}

// manners sets what every answer carries.
func (s *Server) manners(c *gin.Context) {
	h := c.Writer.Header()
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cache-Control", "no-cache") // may be kept, must be asked about
	if len(c.Request.TransferEncoding) > 0 {
		// It may have come with Content-Length too, which net/http does not tell;
		// another server on the way may see its end elsewhere (RFC 9112, 6.1).
		h.Set("Connection", "close")
	}
}

func (s *Server) noRoute(c *gin.Context) {
	s.refuse(c, NotFound.At(Slip{Code: "not-found", Parameter: "path", Found: "a path that is none of this server's", Wanted: "a path of /openapi.json"}))
}

func (s *Server) noMethod(c *gin.Context) {
	allowed := strings.Split(c.Writer.Header().Get("Allow"), ", ")
	slices.Sort(allowed)
	list := strings.Join(allowed, ", ")
	c.Header("Allow", list)
	s.refuse(c, BadMethod.At(Slip{Code: "method-not-allowed", Parameter: "method", Found: c.Request.Method, Wanted: list}))
}

// refuse answers with a problem, outside of huma.
func (s *Server) refuse(c *gin.Context, p *Problem) {
	p.RequestID = RequestID(c.Request.Context())
	if p.cause != nil {
		_ = c.Error(p.cause) // kept for the log
	}
	for name, values := range p.header {
		c.Writer.Header()[name] = values
	}
	c.Header("Content-Type", problemType)
	c.Status(p.Status)
	if err := writeJSON(c.Writer, p); err != nil {
		_ = c.Error(err) // to the log
	}
	c.Abort()
}
