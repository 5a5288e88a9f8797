package pages

import "strconv"

// Front is what the front page shows.
type Front struct {
	Rubrics     []Titled
	Observation string // to try
}

// Titled names a rubric.
type Titled struct{ Name, Title string }

// SignIn is what the sign-in page shows.
type SignIn struct {
	Next    string // where to go then
	Refused string // "": nothing was; else the end of a key of the catalogue
}

// Trouble is an error as a page.
type Trouble struct {
	Kind    string // not-found, not-allowed, busy, failed
	Detail  string
	Request string // id of the request in the server's log
}

// PerCent is a chance in per cent; nothing is shown as certain.
func PerCent(chance float64) string {
	switch {
	case chance > 0.995:
		return "> 99"
	case chance < 0.005:
		return "< 1"
	}
	return strconv.FormatFloat(100*chance, 'f', 0, 64)
}

// Tryouts is what the list of tryouts shows.
type Tryouts struct{ Tryouts []TryoutLine }

// A TryoutLine is one tryout of the list.
type TryoutLine struct {
	ID, Name, Day string
	Closed        bool
}

// Groups is what the list of groups shows.
type Groups struct {
	Groups []GroupLine
	More   bool // there are more than are shown
}

// A GroupLine is one group of the list.
type GroupLine struct {
	Name    string
	Members int
}
