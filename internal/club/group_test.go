package club_test

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"rootcue/engine/practice"
	"rootcue/engine/workload"
	"rootcue/internal/club"
	"rootcue/internal/store"
)

// anyBase puts a group whatever stands now.
func anyBase(store.Group, bool) bool { return true }

func putGroup(t testing.TB, c *club.Clubs, a club.Actor, name string, refs ...string) club.Group {
	t.Helper()
	g, _, err := c.PutGroup(ctx, a, name, refs, anyBase)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// known makes players without any assessment.
func known(t testing.TB, c *club.Clubs, a club.Actor, refs ...string) {
	t.Helper()
	for _, ref := range refs {
		if _, _, err := c.PutPlayer(ctx, a, store.Player{Ref: ref}, func(store.Player, bool) bool { return true }); err != nil {
			t.Fatal(err)
		}
	}
}

func TestGroups(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, spring)
		a, other := member(t, c, "North", "edit"), member(t, c, "South", "edit")
		known(t, c, a, "P-1", "P-2", "P-3")
		known(t, c, other, "P-9")
		first := putGroup(t, c, a, "monday", "P-2", "P-1")
		if diff := cmp.Diff([]string{"P-1", "P-2"}, first.Players); diff != "" {
			t.Error(diff)
		}
		for ref, code := range map[string]string{"P-9": "unknown-player", "p-1": "unknown-player", "P-3": "player-twice"} {
			var refusal *club.Refusal
			_, _, err := c.PutGroup(ctx, a, "monday", []string{"P-3", ref}, anyBase)
			if !errors.As(err, &refusal) || refusal.Slips[0].Pointer != "/players/1" || refusal.Slips[0].Code != code {
				t.Errorf("%s: %v", ref, err)
			}
		}
		if _, _, err := c.PutGroup(ctx, a, "monday", nil, func(now store.Group, there bool) bool { return !there }); !errors.Is(err, club.ErrChanged) {
			t.Errorf("a group that is there already: %v", err)
		}
		putGroup(t, c, a, "friday", "P-3")
		again := putGroup(t, c, a, "monday", "P-3", "P-1")
		if got, err := c.Group(ctx, a, "monday"); err != nil || !cmp.Equal(got, again) || got.CreatedAt != first.CreatedAt {
			t.Errorf("found %+v, %v", got, err)
		}
		page, err := c.Groups(ctx, a, "", 1)
		if err != nil || len(page.Items) != 1 || page.Items[0].Name != "friday" || page.Next == "" {
			t.Fatalf("first page %+v, %v", page, err)
		}
		if page, err = c.Groups(ctx, a, page.Next, 1); err != nil || len(page.Items) != 1 || page.Items[0].Name != "monday" || page.Next != "" {
			t.Errorf("second page %+v, %v", page, err)
		}
		if _, err := c.Group(ctx, other, "monday"); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("another club reads it: %v", err)
		}
		log, err := c.Changes(ctx, a, "", 10)
		if err != nil || log.Items[0].What != "group.changed" || string(log.Items[0].Detail) != `{"joined":1,"left":1}` {
			t.Errorf("log: %+v, %v", log.Items[0], err)
		}
		for _, ch := range log.Items {
			if strings.Contains(string(ch.Detail)+ch.Entity, "P-") {
				t.Errorf("the log names a player: %+v", ch)
			}
		}
		if err := errors.Join(c.DeleteGroup(ctx, a, "monday"), func() error { _, err := c.Player(ctx, a, "P-1"); return err }()); err != nil {
			t.Error(err)
		}
		if err := c.DeleteGroup(ctx, a, "monday"); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("deleted twice: %v", err)
		}
	})
}

// hour is a practice of an hour with two helpers.
var hour = club.PracticeTime{Minutes: 60, Turn: 12, Helpers: 2}

// throwsFor has an instructor hand out throws for the fault of an assessment
// that gives most back.
func throwsFor(t testing.TB, c *club.Clubs, a club.Actor, id string) {
	t.Helper()
	r, err := c.Review(ctx, a, id)
	if err != nil {
		t.Fatal(err)
	}
	faults, _, _ := workOn(t, r.Engine)
	review := club.Review{}
	for _, f := range faults {
		review.Cues = append(review.Cues, club.CueSwap{Fault: f, Drills: []string{"knee-throws"}})
	}
	if _, err := c.PutReview(ctx, a, id, review, true, 0); err != nil {
		t.Fatal(err)
	}
}

// One plan for players of every sort: what each gets, and what is said of each.
// The advice of 50 throws a day to the age of 12 is in force, and a turn of knee
// throws is 10 throws: 25 left are two turns, 5 left are none.
func TestPlanGroup(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, spring)
		a := member(t, c, "North", "admin")
		for _, ref := range []string{"P-1", "P-2", "P-3", "P-4", "P-5"} {
			throwsFor(t, c, a, reviewable(t, c, a, ref, "2026-05-09"))
		}
		reviewable(t, c, a, "P-6", "2026-01-20")
		known(t, c, a, "P-7")
		enter(t, c, a, "P-2", `[{"date": "2026-05-10", "kind": "practice-throws", "count": 25}]`)
		enter(t, c, a, "P-3", `[{"date": "2026-05-10", "kind": "practice-throws", "count": 45}]`)
		enter(t, c, a, "P-4", `[{"date": "2026-05-10", "kind": "tired"}]`)
		enter(t, c, a, "P-5", `[{"date": "2026-05-01", "kind": "pain", "note": "elbow"}]`)
		putGroup(t, c, a, "monday", "P-1", "P-2", "P-3", "P-4", "P-5", "P-6", "P-7")
		plan, err := c.PlanGroup(ctx, a, "monday", club.PracticeAsked{Practice: hour})
		if err != nil {
			t.Fatal(err)
		}
		throws, notes, left := map[string]int{}, map[string][]string{}, map[string][]string{}
		for _, p := range plan.Players {
			throws[p.Ref] = p.Throws
		}
		for _, m := range plan.Members {
			for _, n := range m.Notes {
				notes[m.Ref] = append(notes[m.Ref], n.Code)
			}
		}
		for _, l := range plan.LeftOver {
			left[l.Ref] = append(left[l.Ref], l.Says)
		}
		if diff := cmp.Diff(map[string]int{"P-1": 20, "P-2": 20, "P-3": 0, "P-4": 0, "P-5": 0, "P-6": 0, "P-7": 0}, throws); diff != "" {
			t.Errorf("throws, found + and not -:\n%s", diff) // a third turn at a station gives nothing
		}
		want := map[string][]string{
			"P-4": {"throwing-stopped", "nothing-to-work-on"},
			"P-5": {"all-stopped"},
			"P-6": {"assessment-old"},
			"P-7": {"no-assessment", "workload-unknown", "no-limit-known"},
		}
		if diff := cmp.Diff(want, notes); diff != "" {
			t.Errorf("notes, found + and not -:\n%s", diff)
		}
		for ref, why := range map[string]string{"P-3": "no throws left", "P-4": "A caution stops throwing", "P-5": "nothing is handed out", "P-7": "No assessment"} {
			if !strings.Contains(strings.Join(left[ref], " "), why) {
				t.Errorf("%s is left over because %q, wanted %q", ref, left[ref], why)
			}
		}
		if p6 := plan.Members[5]; len(p6.Roots) == 0 || plan.Players[5].GainS <= 0 {
			t.Errorf("an old assessment is still one: %+v", p6)
		}
		for _, m := range plan.Members {
			if hurt := m.Ref == "P-4" || m.Ref == "P-5"; hurt != (m.Cautions[0].Level == workload.Stop) {
				t.Errorf("%s has the cautions %+v", m.Ref, m.Cautions)
			}
		}
		if plan.Cautions[0].Code != "standing" {
			t.Errorf("for everybody: %+v", plan.Cautions)
		}
		shared := plan.Shared[0]
		if !slices.Contains(shared.Players, "P-1") || !slices.Contains(shared.Players, "P-2") || slices.Contains(shared.Players, "P-5") || !slices.Contains(shared.Drills, "knee-throws") {
			t.Errorf("shared: %+v", plan.Shared)
		}
		gain := 0.0
		for _, r := range plan.Members[0].Roots {
			gain += float64(r.RecoversS) * float64(r.Chance) // two turns at one station: once in full, once half
		}
		if got := plan.Players[0].GainS; got <= 0 || got > 1.5*gain+1e-7 || got < 1.5*gain-1e-6 {
			t.Errorf("P-1 gains %g s; its roots give %g s a turn", got, gain)
		}
	})
}

// What a plan is asked for, and what is refused.
func TestPlanGroupAsked(t *testing.T) {
	c := embedded(t)
	at(t, c, spring)
	a := member(t, c, "North", "edit")
	reviewable(t, c, a, "P-1", "2026-05-09")
	putGroup(t, c, a, "monday", "P-1")
	putGroup(t, c, a, "nobody")
	one, zero, no := 1, 0, false
	for _, tt := range []struct {
		name, group, pointer, code string
		asked                      club.PracticeAsked
	}{
		{"empty", "nobody", "", "empty-group", club.PracticeAsked{Practice: hour}},
		{"over", "monday", "/on", "bad-date", club.PracticeAsked{Practice: hour, On: "2026-05-09"}},
		{"no date", "monday", "", "bad-date", club.PracticeAsked{Practice: hour, On: "9 May"}},
		{"shorter than a turn", "monday", "/practice/minutes", "bad-practice", club.PracticeAsked{Practice: club.PracticeTime{Minutes: 5, Turn: 12}}},
		{"a slip of the pen", "monday", "/stations/0/drill", "unknown-drill", club.PracticeAsked{Practice: hour, Stations: []club.StationAsked{{Drill: "knee-throw"}}}},
		{"declared harmless", "monday", "/stations/1/throws", "drill-throws", club.PracticeAsked{Practice: hour, Stations: []club.StationAsked{{Drill: "chalk-line-feet"}, {Drill: "knee-throws", Throws: &zero}}}},
		{"twice", "monday", "/stations/1/drill", "bad-practice", club.PracticeAsked{Practice: hour, Stations: []club.StationAsked{{Drill: "knee-throws"}, {Drill: "knee-throws"}}}},
		{"no station", "monday", "/stations", "bad-practice", club.PracticeAsked{Practice: hour, Stations: []club.StationAsked{}}},
	} {
		var refusal *club.Refusal
		_, err := c.PlanGroup(ctx, a, tt.group, tt.asked)
		if !errors.As(err, &refusal) || refusal.Slips[0].Pointer != tt.pointer || refusal.Slips[0].Code != tt.code {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
	if _, err := c.PlanGroup(ctx, a, "none", club.PracticeAsked{Practice: hour}); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("no such group: %v", err)
	}
	plan, err := c.PlanGroup(ctx, a, "monday", club.PracticeAsked{Practice: hour, Stations: []club.StationAsked{{Drill: "knee-throws", Places: &one, Throws: &one, Helper: &no}, {Drill: "chalk-line-feet"}}})
	if err != nil {
		t.Fatal(err)
	}
	want := []club.GroupStation{{Drill: "chalk-line-feet", Title: "Chalk line feet", Dose: "2 x 8", Places: 4}, {Drill: "knee-throws", Title: "Knee throws", Dose: "2 x 5", Places: 1, Throws: 1}}
	if diff := cmp.Diff(want, plan.Stations, cmpopts.IgnoreUnexported(club.GroupStation{})); diff != "" {
		t.Errorf("stations, found + and not -:\n%s", diff)
	}
	short, err := c.PlanGroup(ctx, a, "monday", club.PracticeAsked{Practice: club.PracticeTime{Minutes: 12, Turn: 4}})
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range short.Stations {
		if s.Drill == "chalk-line-feet" {
			t.Error("chalk-line-feet takes 5 minutes and stands in turns of 4")
		}
	}
	if i := slices.IndexFunc(short.LeftOver, func(l practice.Leaving) bool { return l.Drill == "chalk-line-feet" && l.Ref == "" }); i < 0 || !strings.Contains(short.LeftOver[i].Says, "5 minutes") {
		t.Errorf("left over %+v", short.LeftOver)
	}
}

// A group of a name that the settings know as a team is under its policies,
// wherever what the arm may do is asked.
func TestGroupIsUnderPoliciesOfItsName(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, spring)
		a := member(t, c, "North", "admin")
		id := reviewable(t, c, a, "P-1", "2026-05-09")
		throwsFor(t, c, a, id)
		const ten = "policy: ten-throws\ntitle: Ten throws\nsource: {by: Harbour, edition: \"1\", read: 2026-01-10}\nthrowing:\n  - {ages: [6, 18], most_a_day: 10, level: stop}\n"
		if _, err := c.PutPolicy(ctx, a, "ten-throws", []byte(ten), 0, ""); err != nil {
			t.Fatal(err)
		}
		settings(t, c, a, func(s *club.Settings) { s.TeamPolicies = map[string][]string{"monday": {"ten-throws"}} })
		enter(t, c, a, "P-1", `[{"date": "2026-05-10", "kind": "practice-throws", "count": 10}]`)
		stopped := func() bool {
			w, err := c.Workload(ctx, a, "P-1", "2026-05-10", "")
			if err != nil {
				t.Fatal(err)
			}
			body, _, err := c.Assessment(ctx, a, id)
			if err != nil {
				t.Fatal(err)
			}
			if inBody := strings.Contains(string(body), "Ten throws"); inBody != (w.Throwing.Answer == "no") {
				t.Errorf("the workload says %s, the assessment %v", w.Throwing.Answer, inBody)
			}
			return w.Throwing.Answer == "no"
		}
		if stopped() {
			t.Error("stopped before it is in the group")
		}
		putGroup(t, c, a, "monday", "P-1")
		if !stopped() {
			t.Error("in the group, and its policy does not hold")
		}
		plan, err := c.PlanGroup(ctx, a, "monday", club.PracticeAsked{Practice: hour})
		if err != nil || plan.Players[0].Throws != 0 || plan.Members[0].Notes[0].Code != "throwing-stopped" {
			t.Errorf("%+v, %v", plan, err)
		}
		next, err := c.PlanGroup(ctx, a, "monday", club.PracticeAsked{Practice: hour, On: "2026-05-11"})
		if err != nil || next.Players[0].Throws != 10 || *next.Members[0].ThrowsLeft != 10 {
			t.Errorf("the day after: %+v, %v", next, err)
		}
	})
}

// Who learns why, and that it is logged of whom.
func TestPlanGroupShows(t *testing.T) {
	c := embedded(t)
	at(t, c, spring)
	admin := member(t, c, "North", "admin")
	for _, ref := range []string{"P-1", "P-2", "P-3"} {
		reviewable(t, c, admin, ref, "2026-05-09")
	}
	enter(t, c, admin, "P-2", `[{"date": "2026-05-01", "kind": "pain", "note": "elbow"}]`)
	enter(t, c, admin, "P-3", `[{"date": "2026-05-10", "kind": "tired"}]`)
	putGroup(t, c, admin, "monday", "P-1", "P-2", "P-3")
	for _, role := range club.Roles {
		a := member(t, c, "North", role)
		plan, err := c.PlanGroup(ctx, a, "monday", club.PracticeAsked{Practice: hour})
		if err != nil {
			t.Fatal(err)
		}
		text := fmt.Sprintf("%+v", plan)
		codes := map[string]string{}
		for _, m := range plan.Members {
			for _, cause := range m.Cautions[:min(1, len(m.Cautions))] {
				codes[m.Ref] = cause.Code
			}
		}
		want := map[string]string{"P-2": "caution-applies", "P-3": "caution-applies"}
		if a.Health {
			want = map[string]string{"P-1": "recorded-to", "P-2": "pain-reported", "P-3": "tired"}
		}
		if diff := cmp.Diff(want, codes); diff != "" {
			t.Errorf("%s, found + and not -:\n%s", role, diff)
		}
		if hidden := !strings.Contains(text, "Pain was reported") && !strings.Contains(text, "was tired"); hidden == a.Health {
			t.Errorf("%s: hidden %v", role, hidden)
		}
		if strings.Contains(text, "elbow") {
			t.Errorf("%s reads a note", role)
		}
		reads := map[string]int{}
		log, err := c.Changes(ctx, admin, "", 200)
		if err != nil {
			t.Fatal(err)
		}
		for _, ch := range log.Items {
			if ch.What == "health.read" && ch.Who == a.KeyID {
				reads[ch.Entity]++
			}
		}
		if n := len(slices.Collect(maps.Keys(reads))); a.Health && n != 2 || !a.Health && n != 0 {
			t.Errorf("%s: %d players in the log of health reads", role, n)
		}
	}
}
