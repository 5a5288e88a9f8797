package club_test

import (
	"strings"
	"testing"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

// A policy that names no cut-off, and a player of whom only the month of birth
// is kept: what is shown holds the rule of the age that day.
func TestBornWithoutACutOff(t *testing.T) {
	c := embedded(t)
	at(t, c, spring)
	a := member(t, c, "North", "admin")
	id := reviewable(t, c, a, "P-1", "2026-05-09")
	throwsFor(t, c, a, id)
	const twelve = "policy: twelve\ntitle: Twelve\nsource: {by: Harbour, edition: \"1\", read: 2026-01-10}\nthrowing:\n  - {ages: [12, 12], most_a_day: 10, level: stop}\n"
	if _, err := c.PutPolicy(ctx, a, "twelve", []byte(twelve), 0, ""); err != nil {
		t.Fatal(err)
	}
	if _, _, err := c.PutPlayer(ctx, a, store.Player{Ref: "P-1", Born: ptr("2014-03")}, always); err != nil {
		t.Fatal(err)
	}
	settings(t, c, a, func(s *club.Settings) { s.Policies = []string{"twelve"} })
	enter(t, c, a, "P-1", `[{"date": "2026-05-10", "kind": "practice-throws", "count": 10}]`)
	body, _, err := c.Assessment(ctx, a, id)
	if err != nil || !strings.Contains(string(body), "Twelve") {
		t.Errorf("twelve that day, and the rule for twelve stops nothing: %v", err)
	}
}
