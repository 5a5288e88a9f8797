package club_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/engine/progress"
	"rootcue/internal/club"
)

// session is an observation of a day; each value is a rep's.
func session(on string, age int, stature float64, measure, ball string, values ...float64) string {
	var reps []string
	for i, v := range values {
		reps = append(reps, fmt.Sprintf(`{"rep": %d, "measures": {%q: %g}}`, i+1, measure, v))
	}
	return fmt.Sprintf(`{"rubric": "throw-to-second", "player": {"ref": "P-1", "age": %d, "stature_cm": %g}, "on": %q, "conditions": {"ball": %q}, "reps": [%s]}`, age, stature, on, ball, strings.Join(reps, ", "))
}

// follow submits sessions and gives the one series of a measure, dry or live.
func follow(t testing.TB, c *club.Clubs, measure, ball string, docs ...string) club.MeasureProgress {
	t.Helper()
	a := member(t, c, "North", "edit")
	submit(t, c, a, club.NDJSON(strings.NewReader(strings.Join(docs, "\n"))), nil)
	d, err := c.Progress(ctx, a, "P-1")
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(d.Measures, func(m club.MeasureProgress) bool { return m.Measure == measure && m.Ball == ball })
	if i < 0 {
		t.Fatalf("no %s series of %s in %+v", ball, measure, d)
	}
	return d.Measures[i]
}

// Stride off the line: less is better. Its reading error in the rubric is 3
// degrees, shared by all reps of a day, so that the least real change is near
// 1.96·√2·3 = 8.3 degrees (Weir 2005).
func TestProgressWords(t *testing.T) {
	const m = "stride_off_line"
	day := func(n int, values ...float64) string {
		return session(fmt.Sprintf("2026-04-%02d", n), 12, 151, m, "live", values...)
	}
	for _, tt := range []struct {
		name string
		docs []string
		want progress.Word
	}{
		{"better", []string{day(1, 25, 26, 24), day(2, 5, 6, 4)}, progress.Better},
		{"worse", []string{day(1, 5, 6, 4), day(2, 25, 26, 24)}, progress.Worse},
		{"no more than it scatters", []string{day(1, 14, 15, 13), day(2, 12, 13, 11)}, progress.NoRealChange},
		{"one rep each: nothing tells how it scatters", []string{day(1, 25), day(2, 5)}, progress.TooFew},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := follow(t, embedded(t), m, "live", tt.docs...)
			if p.Overall == nil || p.Overall.Word != tt.want || len(p.Steps) != 1 || p.Trend != nil {
				t.Errorf("found %+v, trend %v", p.Overall, p.Trend)
			}
		})
	}
}

func TestProgressTrendAndSeries(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, spring)
		const m = "stride_off_line"
		var docs []string
		for i, v := range []float64{20, 18, 15, 12} {
			docs = append(docs, session(fmt.Sprintf("2026-04-%02d", i+1), 12, 151, m, "live", v, v+1))
		}
		docs = append(docs, session("2026-04-06", 12, 151, m, "dry", 3, 4), session("2025-06-01", 11, 146, m, "live", 30, 31))
		p := follow(t, c, m, "live", docs...)
		if p.Trend == nil || p.Trend.S != -10 || p.Trend.Slope >= 0 { // five sessions that fall: all 10 pairs
			t.Errorf("trend %+v", p.Trend)
		}
		var days []string
		for _, s := range p.Sessions {
			days = append(days, s.On)
		}
		if diff := cmp.Diff([]string{"2025-06-01", "2026-04-01", "2026-04-02", "2026-04-03", "2026-04-04"}, days); diff != "" {
			t.Errorf("dry is a series of its own; found + and not -:\n%s", diff)
		}
		if p.Overall.From != "2025-06-01" || p.Season.From != "2026-04-01" || p.Band.From != "2025-06-01" {
			t.Errorf("overall %+v, season %+v, band %+v", p.Overall, p.Season, p.Band)
		}
	})
}

// The same throw read against other limits is no change: today's age group
// says which way is better for all sessions.
func TestChangeOfBandIsNoChange(t *testing.T) {
	c := embedded(t)
	at(t, c, spring)
	p := follow(t, c, "exchange_time", "live", session("2025-06-01", 12, 151, "exchange_time", "live", 1.10, 1.12), session("2026-04-01", 13, 156, "exchange_time", "live", 1.10, 1.12))
	if p.Overall.Word != progress.NoRealChange || p.Sessions[0].Band != "11-12" || p.Sessions[1].Band != "13-14" || p.Band != nil {
		t.Errorf("found %+v, bands %+v, since the band %+v", p.Overall, p.Sessions, p.Band)
	}
}

// A stride of 27.3 cm is 0.21 of 130 cm and 0.1365 of 200 cm: farther below the
// limit of 0.22 as a share, the same on the ground.
func TestGrowthIsNotWorse(t *testing.T) {
	for _, tt := range []struct {
		name   string
		late   float64 // share of the later height
		want   progress.Word
		grown  bool
		height float64
	}{
		{"grown, the same on the ground", 27.3 / 200, progress.NoRealChange, true, 200},
		{"grown, and shorter on the ground", 8.0 / 200, progress.Worse, false, 200},
		{"not grown, and shorter", 13.0 / 130, progress.Worse, false, 130},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := embedded(t)
			at(t, c, spring)
			early := 27.3 / 130
			p := follow(t, c, "stride_length", "live", session("2026-04-01", 12, 130, "stride_length", "live", early, early+0.001), session("2026-04-20", 12, tt.height, "stride_length", "live", tt.late, tt.late+0.001))
			if p.Overall.Word != tt.want || p.Overall.Grown != tt.grown {
				t.Errorf("found %+v between %v and %v", p.Overall, p.AtLeast, p.AtMost)
			}
		})
	}
}
