package store

import (
	"encoding/base64"
	"fmt"
	"strings"
)

// MaxPage is the most rows a list gives at once.
const MaxPage = 1000

// A Page is where a list goes on. The cost of a page does not depend on how
// deep it lies.
type Page struct {
	After Cursor // the last row of the page before; zero for the first page
	Limit int    // 1 to MaxPage; 0 means MaxPage
}

// A Cursor names a row of a list by its date and id.
type Cursor struct{ On, ID string }

// String is the cursor's opaque form, "" for the zero Cursor.
func (c Cursor) String() string {
	if c == (Cursor{}) {
		return ""
	}
	return base64.RawURLEncoding.EncodeToString([]byte(c.On + " " + c.ID))
}

// ParseCursor reads what String gave. Anything else is an ErrInvalid.
func ParseCursor(s string) (Cursor, error) {
	if s == "" {
		return Cursor{}, nil
	}
	raw, err := base64.RawURLEncoding.DecodeString(s)
	on, id, ok := strings.Cut(string(raw), " ")
	if err != nil || !ok || on == "" || id == "" {
		return Cursor{}, fmt.Errorf("%w: cursor %.80q is none that a list gave", ErrInvalid, s)
	}
	return Cursor{On: on, ID: id}, nil
}

// Cursor is where the list goes on after o.
func (o Observation) Cursor() Cursor { return Cursor{o.On, o.ID} }

// Cursor is where the list goes on after a.
func (a Assessment) Cursor() Cursor { return Cursor{a.On, a.ID} }
