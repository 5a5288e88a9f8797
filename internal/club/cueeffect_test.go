package club_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

// strides submits one rep of stride off the line of each of some players.
func strides(t testing.TB, c *club.Clubs, a club.Actor, prefix, on, ball string, values ...float64) {
	t.Helper()
	var docs []string
	for i, v := range values {
		docs = append(docs, fmt.Sprintf(`{"rubric": "throw-to-second", "player": {"ref": "%s%d", "age": 12, "stature_cm": 151}, "on": %q, "conditions": {"ball": %q}, "reps": [{"rep": 1, "measures": {"stride_off_line": %g}}]}`, prefix, i, on, ball, v))
	}
	if lines, done := submit(t, c, a, club.NDJSON(strings.NewReader(strings.Join(docs, "\n"))), nil); done.Stored != len(values) {
		t.Fatalf("found %+v", lines)
	}
}

func near(t testing.TB, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-6 {
		t.Errorf("%s: found %v, want %v", what, got, want)
	}
}

// Six players get the correction, five do not; the interval is Welch's, worked
// out here by gonum. Dry throws are a comparison of their own, and too few.
func TestCueEffect(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, "2026-04-01T15:00:00Z")
		a := member(t, c, "North", "admin")
		settings(t, c, a, func(s *club.Settings) { s.ReviewFirst = false }) // handed out at once
		strides(t, c, a, "W", "2026-04-01", "live", 25, 26, 27, 24, 25, 28)
		strides(t, c, a, "O", "2026-04-01", "live", 3, 4, 2, 5, 3)
		strides(t, c, a, "D", "2026-04-01", "dry", 25, 25, 25)
		strides(t, c, a, "L", "2026-04-01", "live", 25) // got it, and was not seen since
		at(t, c, "2026-04-08T15:00:00Z")
		strides(t, c, a, "W", "2026-04-08", "live", 15, 20, 20, 18, 25, 20)
		strides(t, c, a, "O", "2026-04-08", "live", 4, 3, 2, 4, 5)
		strides(t, c, a, "D", "2026-04-08", "dry", 5, 5, 5)
		at(t, c, "2026-04-15T15:00:00Z")
		strides(t, c, a, "W", "2026-04-15", "live", 17)
		e, err := c.CueEffect(ctx, a, "throw-to-second", "stride-off-line")
		if err != nil {
			t.Fatal(err)
		}
		if e.Measure != "stride_off_line" || e.Unit != "deg" || e.Better != "less" || len(e.Balls) != 2 || len(e.Notes) == 0 || e.Unread != 0 {
			t.Fatalf("found %+v", e)
		}
		live, dry := e.Balls[0], e.Balls[1]
		with, without := []float64{-9, -6, -7, -6, 0, -8}, []float64{1, -1, 0, -1, 2} // the first: 16 on the mean of two sessions, less 25
		mw, vw := stat.MeanVariance(with, nil)
		mo, vo := stat.MeanVariance(without, nil)
		x, y := vw/6, vo/5
		df := (x + y) * (x + y) / (x*x/5 + y*y/4)
		half := distuv.StudentsT{Sigma: 1, Nu: df}.Quantile(0.975) * math.Sqrt(x+y)
		if live.Ball != "live" || live.With.Players != 6 || live.Without.Players != 5 || live.Withheld {
			t.Fatalf("live %+v", live)
		}
		near(t, "with", float64(live.With.Change), mw)
		near(t, "without", float64(live.Without.Change), mo)
		near(t, "difference", float64(live.Difference), mw-mo)
		near(t, "low", float64(live.Low), mw-mo-half)
		near(t, "high", float64(live.High), mw-mo+half)
		near(t, "degrees of freedom", float64(live.Freedom), df)
		if !strings.Contains(live.Says, "-6 deg in 6 players") || strings.Contains(live.Says, "cannot tell") {
			t.Errorf("says %q", live.Says)
		}
		if !dry.Withheld || dry.With.Players != 3 || dry.Without.Players != 0 || !math.IsNaN(float64(dry.With.Change)) || !math.IsNaN(float64(dry.Difference)) || !strings.Contains(dry.Says, "3 players") {
			t.Errorf("dry %+v", dry)
		}
		if text := fmt.Sprintf("%+v", e); strings.Contains(text, "W1") || strings.Contains(text, "O1") {
			t.Errorf("names a player: %s", text)
		}
		// One more without: five on one side are four less one.
		if _, err := c.Erase(ctx, a, "O4"); err != nil {
			t.Fatal(err)
		}
		if e, err = c.CueEffect(ctx, a, "throw-to-second", "stride-off-line"); err != nil || !e.Balls[0].Withheld || e.Balls[0].Without.Players != 4 || !math.IsNaN(float64(e.Balls[0].With.Change)) {
			t.Errorf("four without it: %+v, %v", e.Balls[0], err)
		}
		none, err := c.CueEffect(ctx, member(t, c, "South", "edit"), "throw-to-second", "stride-off-line")
		if err != nil || none.Balls[0].With.Players != 0 || none.Balls[0].Without.Players != 0 {
			t.Errorf("another club: %+v, %v", none.Balls, err)
		}
	})
}

func TestCueEffectAsked(t *testing.T) {
	c := embedded(t)
	a := member(t, c, "North", "edit")
	if _, err := c.CueEffect(ctx, a, "no-rubric", "tall-set"); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("no such rubric: %v", err)
	}
	var refusal *club.Refusal
	if _, err := c.CueEffect(ctx, a, "throw-to-second", "tall-sett"); !errors.As(err, &refusal) || refusal.Slips[0].Code != "unknown-fault" || !strings.Contains(refusal.Slips[0].Hint, "tall-set") {
		t.Errorf("no such fault: %v", err)
	}
	if _, err := c.CueEffect(ctx, a, "throw-to-second", "slow-exchange"); !errors.As(err, &refusal) || refusal.Slips[0].Code != "unknown-fault" {
		t.Errorf("an outcome is never handed out: %v", err)
	}
	const two = "rubric: pairs\ntitle: Pairs\nbands: {all: {ages: [6, 18]}}\nmeasures:\n  a: {title: A, unit: s}\n  b: {title: B, unit: s}\nfaults:\n  a-after-b: {title: A after B, when: a > b, cue: A first}\n"
	if _, err := c.Publish(ctx, member(t, c, "North", "admin"), club.Publication{Name: "pairs", Source: []byte(two)}); err != nil {
		t.Fatal(err)
	}
	if _, err := c.CueEffect(ctx, a, "pairs", "a-after-b"); !errors.As(err, &refusal) || refusal.Slips[0].Code != "no-measure" {
		t.Errorf("a fault of two measures: %v", err)
	}
}
