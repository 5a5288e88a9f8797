package pages

// NewTryout is what the page that makes a tryout shows.
type NewTryout struct {
	Today   string // on the club's clock
	Rubrics []Titled
	Bands   []string // of all rubrics, each once
}
