package api_test

import (
	"strings"
	"testing"
)

// The instructor's page says of whom no guardian's consent is recorded, and of
// nobody else.
func TestReviewShowsWhoHasNoConsent(t *testing.T) {
	s := embeddedServer(t)
	s.practised(t)
	const page, says, card = "/review?on=2026-05-09", "No guardian&#39;s consent is recorded", `<article class="card"`
	body := s.visit(t, "edit", page).Body.String()
	cards := strings.Count(body, card)
	if n := strings.Count(body, says); cards < 2 || n != cards {
		t.Fatalf("said %d times on %d cards without a consent", n, cards)
	}
	_, rest, _ := strings.Cut(body, `<article class="card" id="a-`)
	_, rest, _ = strings.Cut(rest, `<h2 id="t-`)
	_, rest, _ = strings.Cut(rest, ">")
	ref, _, _ := strings.Cut(rest, " ")
	s.must(t, "edit", "PUT", "/v1/players/"+ref, `{"consent_on": "2026-01-10", "consent_scope": "film and notes"}`)
	if n := strings.Count(s.visit(t, "edit", page).Body.String(), says); n != cards-1 {
		t.Errorf("said %d times after the consent for %s, wanted %d", n, ref, cards-1)
	}
}
