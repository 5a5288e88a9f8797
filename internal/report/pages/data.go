package pages

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
