package api

import (
	"errors"
	"net/http"
	"net/url"
	"strings"

	"rootcue/internal/club"
	"rootcue/internal/report/pages"
)

// maxForm bounds a form of ours, in bytes.
const maxForm = 64 << 10

// askKey shows the form for a key.
func (v *visit) askKey() error {
	return v.write("sign-in", "", "", pages.SignIn{Next: ownPath(v.Query("next"))})
}

// signIn takes a key once and leaves a session's cookie in its place. A form
// sent from another site is refused: nobody is signed in without knowing.
func (v *visit) signIn() error {
	if v.s.Clubs == nil {
		return NotFound.Say("this server keeps no clubs")
	}
	if site := v.GetHeader("Sec-Fetch-Site"); site != "" && site != "same-origin" && site != "none" {
		return RoleTooSmall.Say("the form was sent from another site")
	}
	v.Request.Body = http.MaxBytesReader(v.Writer, v.Request.Body, maxForm)
	next, from := ownPath(v.PostForm("next")), v.ClientIP()
	v.Request.URL.RawQuery = url.Values{"next": {next}}.Encode() // for the switch of languages on the form, if it is shown again
	if wait := v.s.limits.barred(from); wait > 0 {
		v.Header("Retry-After", seconds(wait))
		v.Status(http.StatusTooManyRequests)
		return v.write("sign-in", "", "", pages.SignIn{Next: next, Refused: "too-many"})
	}
	token, session, err := v.s.Clubs.SignIn(v.Request.Context(), strings.TrimSpace(v.PostForm("key")))
	if errors.Is(err, club.ErrBadKey) {
		v.s.limits.failed(from)
		v.Status(http.StatusUnauthorized)
		return v.write("sign-in", "", "", pages.SignIn{Next: next, Refused: "bad-key"})
	}
	if err != nil {
		return err
	}
	setCookie(v.Context, sessionCookie, token, int(session.Lasts.Seconds()))
	v.seeOther(next)
	return nil
}

// signOut ends the session.
func (v *visit) signOut() error {
	v.Request.Body = http.MaxBytesReader(v.Writer, v.Request.Body, maxForm)
	if v.session != nil {
		if !sameSecret(v.PostForm("csrf"), v.session.CSRF) {
			return RoleTooSmall.Say("the form is not of this session; open the page again")
		}
		token, _ := v.Cookie(sessionCookie) // it is there: it led to the session
		if err := v.s.Clubs.SignOut(v.Request.Context(), token); err != nil {
			return err
		}
	}
	setCookie(v.Context, sessionCookie, "", -1)
	v.seeOther("/")
	return nil
}

// A sessionTold is what the pages' scripts know of the session.
type sessionTold struct {
	Club string `json:"club"` // id; empty: nobody is signed in
	Role string `json:"role"`
	CSRF string `json:"csrf"`
}

// tellSession tells the pages' scripts who is signed in. No other origin can
// read it.
func (v *visit) tellSession() error {
	v.Header("Content-Type", jsonType)
	v.Header("Cache-Control", "no-store")
	told := sessionTold{Role: v.role.String()}
	if v.session != nil {
		told.Club, told.CSRF = v.session.Club, v.session.CSRF
	}
	return writeJSON(v.Writer, told)
}
