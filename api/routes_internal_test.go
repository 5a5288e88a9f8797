package api

import (
	"regexp"
	"slices"
	"testing"
)

// What the router answers is what the OpenAPI document lists, HEAD beside each
// GET, and the pages for people.
func TestRoutesAreTheDocument(t *testing.T) {
	shelf := ShippedShelf()
	s := New(Options{Rubrics: shelf, Policies: shelf})
	param := regexp.MustCompile(`:(\w+)`)
	var routed, listed []string
	for _, r := range s.gin.Routes() {
		if slices.Contains(s.pages, r.Method+" "+r.Path) {
			continue
		}
		routed = append(routed, r.Method+" "+param.ReplaceAllString(r.Path, "{$1}"))
	}
	for path, item := range s.huma.OpenAPI().Paths {
		for method, op := range map[string]bool{"GET": item.Get != nil, "HEAD": item.Get != nil, "POST": item.Post != nil, "PUT": item.Put != nil, "PATCH": item.Patch != nil, "DELETE": item.Delete != nil} {
			if op {
				listed = append(listed, method+" "+path)
			}
		}
	}
	slices.Sort(routed)
	slices.Sort(listed)
	if !slices.Equal(routed, listed) {
		t.Errorf("routed:\n%v\nlisted:\n%v", routed, listed)
	}
}
