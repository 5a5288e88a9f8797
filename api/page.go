package api

import (
	"net/url"
)

// Paging are the parameters that every list takes.
type Paging struct {
	Limit int    `query:"limit" default:"50" minimum:"1" maximum:"200" doc:"How many items to give at most"`
	Next  string `query:"next" doc:"The next of the page before; with another filter it is refused"`
}

// A Page is a page of a list.
type Page[T any] struct {
	Items []T     `json:"items" doc:"The items of this page"`
	Next  *string `json:"next" doc:"Where the list goes on, to be sent as next; null: nowhere"`
}

// A Paged answers with a page and, in Link (RFC 8288), where the next one is.
type Paged[T any] struct {
	Link string `header:"Link" doc:"The next page, rel=\"next\"; absent on the last"`
	Body Page[T]
}

// paged is a page of items; next is "" on the last one.
func paged[T any](at string, query url.Values, items []T, next string) *Paged[T] {
	p := &Paged[T]{Body: Page[T]{Items: items}}
	if p.Body.Items == nil {
		p.Body.Items = []T{}
	}
	if next != "" {
		p.Body.Next = &next
		query.Set("next", next)
		p.Link = "<" + at + "?" + query.Encode() + `>; rel="next"`
	}
	return p
}

// filled are the parameters that are not empty, by name.
func filled(pairs ...string) url.Values {
	q := url.Values{}
	for i := 0; i < len(pairs); i += 2 {
		if pairs[i+1] != "" {
			q.Set(pairs[i], pairs[i+1])
		}
	}
	return q
}
