package api

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"github.com/gin-gonic/gin"

	"rootcue/internal/club"
	"rootcue/internal/report/pages"
)

// A visit is one request for a page.
type visit struct {
	*gin.Context
	s       *Server
	lang    string
	role    Role          // of who is signed in; Open when nobody is
	session *club.Session // nil when nobody is
}

// pageRoutes declares the pages for people. They are no part of the API: what
// their scripts ask and send goes through it, with the session in place of a key.
func (s *Server) pageRoutes() {
	s.page("GET", "/", Open, (*visit).front)
	s.page("GET", "/sign-in", Open, (*visit).askKey)
	s.page("POST", "/sign-in", Open, (*visit).signIn)
	s.page("POST", "/sign-out", Open, (*visit).signOut)
	s.page("GET", "/session", Open, (*visit).tellSession)
	s.entryPages()
	s.reviewPages()
	s.limitPages()
	s.tryoutPages()
	s.groupPages()
}

// page registers a page. Who may not open it is sent to sign in.
func (s *Server) page(method, path string, role Role, handle func(*visit) error) {
	h := func(c *gin.Context) {
		v := &visit{Context: c, s: s}
		v.lang = v.language()
		if err := v.open(role, handle); err != nil {
			v.trouble(failed(err))
		}
	}
	for _, m := range map[string][]string{"GET": {"GET", "HEAD"}, "POST": {"POST"}}[method] {
		s.gin.Handle(m, path, h)
		s.pages = append(s.pages, m+" "+path)
	}
}

// open finds out who visits and lets in whom it may.
func (v *visit) open(role Role, handle func(*visit) error) error {
	v.Header("Cache-Control", "private, no-cache")
	v.Header("Content-Security-Policy", pages.Policy)
	v.Writer.Header().Add("Vary", variesBy)
	leave, p := v.s.enter(v.Context, &Route{})
	if p != nil {
		return p
	}
	defer leave()
	if v.s.Clubs != nil {
		session, err := v.s.sessionOf(v.Context)
		if err == nil {
			v.session, v.role = &session, principalOf(session).Role
			v.Request = v.Request.WithContext(withPrincipal(v.Request.Context(), principalOf(session)))
		} else if !errors.Is(err, club.ErrBadKey) {
			return err
		}
	}
	if p := v.s.ration(v.Context, &Route{}); p != nil {
		return p
	}
	switch {
	case v.s.Clubs == nil && role > Open:
		return NotFound.Say("this server keeps no clubs")
	case v.session == nil && role > Open && safe(v.Request.Method):
		v.seeOther("/sign-in?next=" + url.QueryEscape(v.Request.URL.RequestURI()))
		return nil
	case v.role < role:
		return RoleTooSmall.Say("this page needs a key of role %s or larger", role)
	}
	return handle(v)
}

// write answers with a page.
func (v *visit) write(page, about, script string, data any) error {
	f := pages.Frame{Lang: v.lang, Page: page, Path: v.Request.URL.EscapedPath(), Query: v.Request.URL.Query(), About: about, Script: script, Links: v.links(), Demo: v.s.Demo}
	if v.session != nil {
		f.Club, f.Role, f.CSRF = v.session.ClubName, v.session.Key.Role, v.session.CSRF
	}
	v.Header("Content-Type", htmlType)
	v.Header("Content-Language", v.lang)
	return pages.Write(v.Writer, f, data)
}

// links are the pages that the visitor may open.
func (v *visit) links() (list []pages.Link) {
	for _, l := range []struct {
		page string
		role Role
	}{{"entry", Submit}, {"review", Edit}, {"rubrics", Read}, {"tryouts", Edit}, {"groups", Edit}} {
		if v.role >= l.role {
			list = append(list, pages.Link{Page: l.page, Path: "/" + l.page})
		}
	}
	return append(list, pages.Link{Page: "docs", Path: "/docs"})
}

func (v *visit) seeOther(to string) {
	v.Header("Location", to)
	v.Status(http.StatusSeeOther)
}

// trouble answers with a problem as a page, in words.
func (v *visit) trouble(p *Problem) {
	kind := "failed"
	switch {
	case p.Status == http.StatusNotFound:
		kind = "not-found"
	case p.Status == http.StatusForbidden:
		kind = "not-allowed"
	case p.Status < 500, p.Status == http.StatusServiceUnavailable:
		kind = "refused"
	}
	if p.cause != nil {
		_ = v.Error(p.cause) // kept for the log
	}
	for name, values := range p.header {
		v.Writer.Header()[name] = values
	}
	v.Status(p.Status)
	if err := v.write("trouble", "", "", pages.Trouble{Kind: kind, Detail: p.Detail, Request: RequestID(v.Request.Context())}); err != nil {
		_ = v.Error(err) // to the log
	}
}

const langCookie = "rootcue_lang"

// language is the one chosen by the switch, now or before, else the one the
// browser asks for.
func (v *visit) language() string {
	if lang := v.Query("lang"); slices.Contains(pages.Languages(), lang) {
		setCookie(v.Context, langCookie, lang, 365*24*3600)
		return lang
	}
	chosen, _ := v.Cookie(langCookie)
	return languageOf(chosen, v.GetHeader("Accept-Language"))
}

// variesBy are the header fields that the language of a page depends on.
const variesBy = "Cookie, Accept-Language"

// languageOf is the language chosen before, else the one a browser asks for.
func languageOf(chosen, accept string) string {
	if slices.Contains(pages.Languages(), chosen) {
		return chosen
	}
	return pages.Language(accept)
}

// ownPath is a path of this server, "/" for anything else.
func ownPath(next string) string {
	if !strings.HasPrefix(next, "/") || strings.HasPrefix(next, "//") || strings.ContainsAny(next, "\\\r\n\t") {
		return "/"
	}
	return next
}
