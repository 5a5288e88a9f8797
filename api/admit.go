package api

import (
	"errors"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humagin"
	"github.com/gin-gonic/gin"
)

// admit is what stands before every handler, cheapest first: whether the server
// can take it on, who calls and whether they may, how often they called, in what
// form they want the answer, and whether the body is one to read. The body is not
// touched before.
func (s *Server) admit(r *Route) func(huma.Context, func(huma.Context)) {
	return func(ctx huma.Context, next func(huma.Context)) {
		c := humagin.Unwrap(ctx)
		if r.Deprecated != nil {
			r.Deprecated.tell(c)
		}
		leave, p := s.enter(c, r)
		if p != nil {
			s.refuse(c, p)
			return
		}
		defer leave()
		for _, step := range []func(*gin.Context, *Route) *Problem{s.identify, s.ration, negotiate, openBody} {
			if p := step(c, r); p != nil {
				s.refuse(c, p)
				return
			}
		}
		if r.Replayable && c.GetHeader("Idempotency-Key") != "" && !r.streams(c) {
			s.replay(c, r, func() { next(ctx) })
			return
		}
		next(ctx)
	}
}

// identify finds out who calls. An open route asks for no key, but one that is
// sent must be good: the caller wants the club's own rubrics.
func (s *Server) identify(c *gin.Context, r *Route) *Problem {
	if known, p := s.bySession(c, r); known || p != nil {
		return p
	}
	if r.Role == Open && (c.GetHeader("Authorization") == "" || s.Keys == nil || r.Unlimited) {
		return nil
	}
	const challenge = `Bearer realm="rootcue"`
	from := c.ClientIP()
	scheme, bearer, _ := strings.Cut(c.GetHeader("Authorization"), " ")
	bearer = strings.TrimSpace(bearer)
	if wait := s.limits.barred(from); wait > 0 && !s.limits.opened(bearer) {
		return TooMany.Say("too many tries without a good key from this address").With("Retry-After", seconds(wait))
	}
	if !strings.EqualFold(scheme, "Bearer") || bearer == "" || s.Keys == nil {
		return NoKey.At(Slip{Code: "no-key", Parameter: "header.Authorization", Found: "no key", Wanted: "Bearer and a key of role " + r.Role.String() + " or larger"}).With("WWW-Authenticate", challenge)
	}
	p, err := s.Keys.Authenticate(c.Request.Context(), bearer)
	switch {
	case errors.Is(err, ErrBadKey):
		s.limits.failed(from)
		return NoKey.At(Slip{Code: "no-key", Parameter: "header.Authorization", Found: "a key that is not known, or no longer good", Wanted: "a good key"}).With("WWW-Authenticate", challenge+`, error="invalid_token"`)
	case err != nil:
		return failed(err)
	}
	s.limits.opens(bearer)
	c.Request = c.Request.WithContext(withPrincipal(c.Request.Context(), p))
	s.ownPage(c, p)
	if p.Role < r.Role {
		return RoleTooSmall.At(Slip{Code: "role-too-small", Parameter: "header.Authorization", Found: "a key of role " + p.Role.String(), Wanted: "role " + r.Role.String() + " or larger"})
	}
	return nil
}

// ration counts the request against the rate of its key, or of its address
// where no key is asked for.
func (s *Server) ration(c *gin.Context, r *Route) *Problem {
	if r.Unlimited || s.Rate.Requests == 0 {
		return nil
	}
	who := "address " + caller(c.ClientIP())
	if p, ok := PrincipalOf(c.Request.Context()); ok {
		who = "key " + p.KeyID
	}
	left, reset, wait := s.limits.take(who)
	c.Header("RateLimit-Policy", s.Rate.policy())
	c.Header("RateLimit", remaining(left, reset))
	if wait > 0 {
		return TooMany.Say("more than %d requests in %s", s.Rate.Requests, s.Rate.Window).With("Retry-After", seconds(wait))
	}
	return nil
}

// negotiate refuses a request for a form that no good answer has.
func negotiate(c *gin.Context, r *Route) *Problem {
	accept := c.GetHeader("Accept")
	if len(r.answers) > 1 {
		c.Writer.Header().Add("Vary", "Accept")
	}
	if accept == "" || accept == "*/*" || len(r.answers) == 0 || Prefer(accept, r.answers) != "" {
		return nil
	}
	return NotAccepted.At(Slip{Code: "not-acceptable", Parameter: "header.Accept", Found: accept, Wanted: strings.Join(r.answers, " or ")})
}
