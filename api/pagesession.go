package api

import (
	"crypto/subtle"
	"errors"
	"net/http"
	"strings"

	"github.com/gin-gonic/gin"

	"rootcue/internal/club"
)

const (
	sessionCookie = "rootcue_session"
	csrfHeader    = "X-Csrf-Token"
)

// bySession lets in this server's own pages: a browser that signed in and sent
// no key. A write must carry the session's CSRF token besides, which no page of
// another origin can read. It reports whether that settles who calls.
func (s *Server) bySession(c *gin.Context, r *Route) (bool, *Problem) {
	if s.Clubs == nil || r.Unlimited || c.GetHeader("Authorization") != "" {
		return false, nil
	}
	session, err := s.sessionOf(c)
	if errors.Is(err, club.ErrBadKey) {
		return false, nil
	}
	if err != nil {
		return true, failed(err)
	}
	if !safe(c.Request.Method) && !sameSecret(c.GetHeader(csrfHeader), session.CSRF) {
		if r.Role == Open {
			return false, nil
		}
		return true, RoleTooSmall.At(Slip{Code: "no-csrf", Parameter: "header." + csrfHeader, Found: "a session without its token", Wanted: "the csrf of /session", Hint: "programs send a key instead"})
	}
	p := principalOf(session)
	c.Request = c.Request.WithContext(withPrincipal(c.Request.Context(), p))
	if p.Role < r.Role {
		return true, RoleTooSmall.At(Slip{Code: "role-too-small", Parameter: "cookie." + sessionCookie, Found: "a session of role " + p.Role.String(), Wanted: "role " + r.Role.String() + " or larger"})
	}
	return true, nil
}

// sessionOf is the session of the request's cookie, else club.ErrBadKey.
func (s *Server) sessionOf(c *gin.Context) (club.Session, error) {
	token, err := c.Cookie(sessionCookie)
	if err != nil {
		return club.Session{}, club.ErrBadKey
	}
	return s.Clubs.SessionOf(c.Request.Context(), token)
}

func principalOf(session club.Session) Principal {
	role, _ := ParseRole(session.Key.Role)
	return Principal{Club: session.Club, KeyID: session.Key.ID, Role: role}
}

// safe reports a method that changes nothing (RFC 9110, 9.2.1).
func safe(method string) bool { return method == http.MethodGet || method == http.MethodHead }

func sameSecret(got, want string) bool {
	return want != "" && subtle.ConstantTimeCompare([]byte(got), []byte(want)) == 1
}

// setCookie keeps something in the browser, readable by no script and sent from
// no other site. It is Secure where the browser came over TLS; a proxy's word
// on that is taken, because it can only make the cookie stricter.
func setCookie(c *gin.Context, name, value string, seconds int) {
	http.SetCookie(c.Writer, &http.Cookie{
		Name: name, Value: value, Path: "/", MaxAge: seconds, HttpOnly: true, SameSite: http.SameSiteStrictMode,
		Secure: c.Request.TLS != nil || strings.EqualFold(c.GetHeader("X-Forwarded-Proto"), "https"),
	})
}
