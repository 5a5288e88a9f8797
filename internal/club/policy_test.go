package club_test

import (
	"errors"
	"strings"
	"testing"

	"rootcue/engine/place"
	"rootcue/internal/club"
	"rootcue/internal/store"
)

const harbour = `policy: harbour-league
title: Harbour league
source: {by: Harbour League, edition: "2026", read: 2026-01-10, note: an invented league}
age_on: 04-30
pitching:
  - {ages: [7, 18], most_a_day: 10, rest: [{to: 10, days: 5}]}
`

func TestPutPolicy(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, spring)
		a := member(t, c, "North", "admin")
		put := func(name, source string, base int) (store.Document, error) {
			return c.PutPolicy(ctx, a, name, []byte(source), base, "our own")
		}
		d, err := put("harbour-league", harbour, 0)
		if err != nil || d.Version != 1 {
			t.Fatalf("found %+v, %v", d, err)
		}
		if d, err = put("harbour-league", harbour, 1); err != nil || d.Version != 1 {
			t.Errorf("the same bytes: version %d, %v", d.Version, err)
		}
		if d, err = put("harbour-league", strings.Replace(harbour, "most_a_day: 10", "most_a_day: 9", 1), 1); err != nil || d.Version != 2 {
			t.Errorf("changed: version %d, %v", d.Version, err)
		}
		if _, err = put("harbour-league", harbour, 1); !errors.Is(err, club.ErrChanged) {
			t.Errorf("built on an older version: %v", err)
		}
		for name, source := range map[string]string{"other-name": harbour, "harbour-league": strings.Replace(harbour, "most_a_day", "most_a_dya", 1)} {
			var refusal *club.Refusal
			if _, err := put(name, source, 0); !errors.As(err, &refusal) || refusal.Slips[0].Line == 0 {
				t.Errorf("%s: %v", name, err)
			}
		}
		if d, versions, err := c.Policy(ctx, a, "harbour-league", 1); err != nil || string(d.Source) != harbour || len(versions) != 2 {
			t.Errorf("the first version: %v, %v", versions, err)
		}
	})
}

// The club's policies hold for all, a team's for its players besides; the
// strictest answer is given.
func TestPoliciesInForce(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, spring)
		a := member(t, c, "North", "admin")
		if _, err := c.PutPolicy(ctx, a, "harbour-league", []byte(harbour), 0, ""); err != nil {
			t.Fatal(err)
		}
		for ref, groups := range map[string]store.Strings{"P-1": {"u12"}, "P-2": {"u14", "u12"}, "P-3": nil} {
			if _, _, err := c.PutPlayer(ctx, a, store.Player{Ref: ref, Born: ptr("2013-10"), Groups: groups}, always); err != nil {
				t.Fatal(err)
			}
			enter(t, c, a, ref, `[{"date": "2026-05-08", "kind": "pitches", "count": 8}]`)
		}
		settings(t, c, a, func(s *club.Settings) { s.TeamPolicies = map[string][]string{"u14": {"harbour-league"}} })
		for ref, want := range map[string]string{"P-1": "yes", "P-2": "no", "P-3": "yes"} {
			w, err := c.Workload(ctx, a, ref, "2026-05-10", "")
			if err != nil || w.Pitching.Answer != want {
				t.Errorf("%s: %+v, %v", ref, w.Pitching, err)
			}
		}
		settings(t, c, a, func(s *club.Settings) { s.Policies = nil })
		if w, err := c.Workload(ctx, a, "P-3", "", ""); err != nil || w.Pitching.Answer != "no-rule" || w.On.String() != "2026-05-10" {
			t.Errorf("with no policy: %+v, %v", w.Pitching, err)
		}
	})
}

// The rules differ by age: who has none is not judged by a guess.
func TestWorkloadNeedsAnAge(t *testing.T) {
	c := embedded(t)
	at(t, c, spring)
	a := member(t, c, "North", "edit")
	enter(t, c, a, "P-1", `[{"date": "2026-05-08", "kind": "pitches", "count": 8}]`)
	if _, err := c.Workload(ctx, a, "P-1", "", ""); !errors.Is(err, club.ErrNoAge) {
		t.Errorf("without an age: %v", err)
	}
	if _, err := c.Workload(ctx, a, "P-2", "", ""); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("of nobody: %v", err)
	}
	if _, _, err := c.PutPlayer(ctx, a, store.Player{Ref: "P-1", Age: ptr(12), AgeOn: ptr("2024-05-01")}, always); err != nil {
		t.Fatal(err)
	}
	w, err := c.Workload(ctx, a, "P-1", "", "")
	if err != nil || w.Policies[0].Age != 14 { // stated two seasons ago
		t.Errorf("found %+v, %v", w.Policies, err)
	}
	var refusal *club.Refusal
	if _, err := c.Workload(ctx, a, "P-1", "10.05.2026", ""); !errors.As(err, &refusal) {
		t.Errorf("a date that is none: %v", err)
	}
}

func TestBadSettings(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		a := member(t, c, "North", "admin")
		s, err := c.Settings(ctx, a)
		if err != nil || s.TimeZone != "UTC" || !s.ReviewFirst || len(s.Policies) == 0 {
			t.Fatalf("what holds at first: %+v, %v", s, err)
		}
		bad := club.Settings{TimeZone: "Moon/Tycho", Policies: []string{"pitch-smart", "no-such"}, TeamPolicies: map[string][]string{"u14": {"none"}}, FrameAncestors: []string{"https://club.example", "http://club.example", "https://club.example/", "'unsafe'; script-src *"}, WebOrigins: []string{"https://club.example:8443", "*", "null"}}
		err = c.PutSettings(ctx, a, bad, func(club.Settings) bool { return true })
		var refusal *club.Refusal
		if !errors.As(err, &refusal) {
			t.Fatal(err)
		}
		found := map[string]bool{}
		for _, slip := range refusal.Slips {
			found[slip.Pointer] = slip != place.Problem{}
		}
		for _, want := range []string{"/time_zone", "/policies/1", "/team_policies/u14/0", "/frame_ancestors/1", "/frame_ancestors/2", "/frame_ancestors/3", "/web_origins/1", "/web_origins/2"} {
			if !found[want] {
				t.Errorf("no slip at %s in %+v", want, refusal.Slips)
			}
		}
		if len(refusal.Slips) != 8 {
			t.Errorf("%d slips", len(refusal.Slips))
		}
		if err := c.PutSettings(ctx, a, s, func(club.Settings) bool { return false }); !errors.Is(err, club.ErrChanged) {
			t.Errorf("built on others: %v", err)
		}
	})
}
