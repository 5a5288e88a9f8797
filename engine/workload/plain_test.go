package workload_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"rootcue/engine/civil"
	"rootcue/engine/workload"
)

// The plain model reads the rules as a person would, day by day and entry by
// entry, with no sums kept. It is slow, and holds the package against itself
// written another way.
type plain struct {
	entries []workload.Entry
	policy  *workload.Policy
	age     int
	worst   bool // missing counts are as high as they can be, else as low
}

// count is an entry's count under the model's assumption.
func (m plain) count(e workload.Entry) float64 {
	v, known := e.Count.Value()
	switch {
	case known:
		return v
	case m.worst:
		return 1e7
	case e.Kind == workload.InningsCaught || e.Kind == workload.InningsPitched:
		return 1. / 3000
	}
	before, _ := e.AtLastBatter.Value()
	return max(1, before+1)
}

func (m plain) sum(kind workload.Kind, from, to civil.Date) (sum float64) {
	for _, e := range m.entries {
		if e.Kind == kind && !e.Date.Before(from) && !e.Date.After(to) {
			sum += m.count(e)
		}
	}
	return sum
}

// tier is the pitches of a day that count for tiers.
func (m plain) tier(lastBatter bool, d civil.Date) float64 {
	spared := 0.0
	for _, e := range m.entries {
		v, known := e.Count.Value()
		if before, given := e.AtLastBatter.Value(); e.Kind == workload.Pitches && e.Date == d && known && given {
			spared = max(spared, v-(before+1))
		}
	}
	if !lastBatter {
		spared = 0
	}
	return max(0, m.sum(workload.Pitches, d, d)-spared)
}

func (m plain) pitched(d civil.Date) bool {
	low := plain{m.entries, m.policy, m.age, false}
	return low.sum(workload.Pitches, d, d) > 0 || low.sum(workload.InningsPitched, d, d) > 0
}

func (m plain) ages(a workload.Ages) bool { return m.age >= a.From && m.age <= a.To }

// stopped is pain or a blow not cleared on a later day, or tiredness that day.
func (m plain) stopped(d civil.Date) bool {
	for _, e := range m.entries {
		if e.Kind == workload.Tired && e.Date == d {
			return true
		}
		if e.Kind != workload.Pain && e.Kind != workload.Blow && !e.Pain {
			continue
		}
		lifted := false
		for _, c := range m.entries {
			lifted = lifted || c.Kind == workload.Cleared && c.Date.After(e.Date)
		}
		if !lifted {
			return true
		}
	}
	return false
}

// forbids reports whether any rule stands against pitching on a day.
func (m plain) forbidsPitching(d civil.Date) bool {
	for _, r := range m.policy.Pitching {
		if !m.ages(r.Ages) || r.Level != workload.Stop && r.Level != workload.Limit {
			continue
		}
		if r.MostADay != nil && m.sum(workload.Pitches, d, d) >= float64(*r.MostADay) {
			return true
		}
		for back := 1; back <= 70 && r.Rest != nil; back++ {
			if n := m.tier(r.LastBatter, d.AddDays(-back)); n > 0 && back <= restOf(r.Rest, n) {
				return true
			}
		}
		if r.Running != nil {
			run := 0
			for m.pitched(d.AddDays(-run - 1)) {
				run++
			}
			if run >= *r.Running {
				return true
			}
		}
		if r.Innings != nil {
			limit, _ := r.Innings.Value()
			year := m.sum(workload.InningsPitched, d.AddYears(-1).AddDays(1), d)
			if year >= limit-1e-9 && limit > 0 {
				return true
			}
		}
	}
	for _, r := range m.policy.Catching {
		if m.ages(r.Ages) && r.Level == workload.Stop && r.NoPitchingAfter != nil && innings(m.sum(workload.InningsCaught, d, d)) >= float64(*r.NoPitchingAfter) {
			return true
		}
	}
	return false
}

// innings rounds up: part of an inning is an inning caught in.
func innings(sum float64) float64 { return math.Ceil(sum - 1e-9) }

func restOf(tiers []workload.Tier, n float64) int {
	for _, t := range tiers {
		if n <= float64(t.To) {
			return t.Days
		}
	}
	return tiers[len(tiers)-1].Days
}

func (m plain) forbidsCatching(d civil.Date) bool {
	for _, r := range m.policy.Catching {
		if !m.ages(r.Ages) || r.Level != workload.Stop {
			continue
		}
		n := m.tier(r.LastBatter, d)
		if r.NoneAfterPitches != nil && n >= float64(*r.NoneAfterPitches) {
			return true
		}
		if r.NoReturn != nil && innings(m.sum(workload.InningsCaught, d, d)) >= float64(r.NoReturn.Innings) && n >= float64(r.NoReturn.Pitches) {
			return true
		}
	}
	return false
}

func (m plain) throws(d civil.Date) (sum float64) {
	for _, k := range []workload.Kind{workload.Pitches, workload.Bullpen, workload.PracticeThrows, workload.BaseThrows, workload.LongToss} {
		sum += m.sum(k, d, d)
	}
	return sum
}

func (m plain) forbidsThrowing(d civil.Date) bool {
	for _, r := range m.policy.Throwing {
		if m.ages(r.Ages) && r.Level == workload.Stop && m.throws(d) >= float64(*r.MostADay) {
			return true
		}
	}
	return false
}

func (m plain) forbids(a workload.Activity, d civil.Date) bool {
	switch a {
	case workload.Pitching:
		return m.forbidsPitching(d)
	case workload.Catching:
		return m.forbidsCatching(d)
	}
	return m.forbidsThrowing(d)
}

// answer is yes, unknown or no; the policies drawn speak of every activity.
func answer(entries []workload.Entry, p *workload.Policy, age int, a workload.Activity, d civil.Date) string {
	low, high := plain{entries, p, age, false}, plain{entries, p, age, true}
	switch {
	case low.stopped(d) || low.forbids(a, d):
		return workload.No
	case high.forbids(a, d):
		return workload.Unknown
	}
	return workload.Yes
}

func drawInt(t *rapid.T, lo, hi int, name string) *int {
	n := rapid.IntRange(lo, hi).Draw(t, name)
	return &n
}

// drawPolicy is any policy with small numbers, so that its rules meet.
func drawPolicy(t *rapid.T) *workload.Policy {
	ages := workload.Ages{From: 0, To: 99}
	row := workload.PitchingRow{Ages: ages, Level: workload.Stop, MostADay: drawInt(t, 20, 90, "most"), LastBatter: rapid.Bool().Draw(t, "last batter rule")}
	for to, days := 0, 0; to < 60; {
		to += rapid.IntRange(10, 40).Draw(t, "tier")
		row.Rest = append(row.Rest, workload.Tier{To: to, Days: days})
		days += rapid.IntRange(0, 2).Draw(t, "more days")
	}
	if rapid.Bool().Draw(t, "running rule") {
		row.Running = drawInt(t, 1, 3, "running")
	}
	if rapid.Bool().Draw(t, "innings rule") {
		c := workload.Of(float64(rapid.IntRange(1, 30).Draw(t, "innings")))
		row.Innings = &c
	}
	catching := workload.CatchingRow{Ages: ages, Level: workload.Stop, NoneAfterPitches: drawInt(t, 1, 60, "none after"), NoPitchingAfter: drawInt(t, 1, 5, "no pitching after"),
		NoReturn: &workload.NoReturn{Innings: *drawInt(t, 1, 4, "caught"), Pitches: *drawInt(t, 1, 40, "pitched")}, LastBatter: row.LastBatter}
	throwing := workload.ThrowingRow{Ages: ages, Level: workload.Stop, MostADay: drawInt(t, 10, 120, "throws")}
	return &workload.Policy{Name: "drawn", Title: "Drawn", Pitching: []workload.PitchingRow{row}, Catching: []workload.CatchingRow{catching}, Throwing: []workload.ThrowingRow{throwing}}
}

func TestAgainstThePlainModel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, l, age := drawPolicy(t), drawLedger(t), 12
		a := judge(l, age, []*workload.Policy{p})
		for i, v := range each(a) {
			activity := workload.Activities[i]
			if want := answer(l.Entries, p, age, activity, today); v.Answer != want {
				t.Fatalf("%s: %s (%s), plainly %s", activity, v.Answer, v.Says, want)
			}
			for _, d := range a.Calendar {
				if got := []string{d.Pitching, d.Catching, d.Throwing}[i]; got != answer(l.Entries, p, age, activity, d.Date) {
					t.Fatalf("%s on %v: %s, plainly %s", activity, d.Date, got, answer(l.Entries, p, age, activity, d.Date))
				}
			}
			checkNextDay(t, l.Entries, p, activity, v)
		}
		high := plain{l.Entries, p, age, true}
		if want := max(0, float64(*p.Pitching[0].MostADay)-high.sum(workload.Pitches, today, today)); a.Pitching.Answer == workload.Yes && float64(*a.Pitching.Left) != want {
			t.Fatalf("%d pitches left, plainly %v", *a.Pitching.Left, want)
		}
		if want := max(0, float64(*p.Throwing[0].MostADay)-high.throws(today)); a.Throwing.Answer == workload.Yes && float64(*a.Throwing.Left) != want {
			t.Fatalf("%d throws left, plainly %v", *a.Throwing.Left, want)
		}
	})
}

// checkNextDay looks at the next day and the days around it: yes on it, no yes
// on the day asked about unless it is that day, none on the day before.
func checkNextDay(t *rapid.T, entries []workload.Entry, p *workload.Policy, a workload.Activity, v workload.Verdict) {
	if v.NextDay == nil {
		for _, later := range []int{0, 1, 30, 370, 800} {
			if answer(entries, p, 12, a, today.AddDays(later)) == workload.Yes {
				t.Fatalf("%s: no next day, plainly yes in %d days", a, later)
			}
		}
		return
	}
	if got := answer(entries, p, 12, a, *v.NextDay); got != workload.Yes {
		t.Fatalf("%s: next day %v, plainly %s", a, v.NextDay, got)
	}
	if before := v.NextDay.AddDays(-1); !before.Before(today) && answer(entries, p, 12, a, before) == workload.Yes {
		t.Fatalf("%s: next day %v, plainly %v already", a, v.NextDay, before)
	}
}

// Whatever the policy, more never allows more.
func TestAddingToDrawnPoliciesNeverAllowsMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, l := []*workload.Policy{drawPolicy(t)}, drawLedger(t)
		e := rapid.Custom(drawEntry).Filter(func(e workload.Entry) bool { return e.Kind != workload.Cleared }).Draw(t, "more")
		before, after := judge(l, 12, p), judge(workload.Ledger{Entries: append([]workload.Entry{e}, l.Entries...)}, 12, p)
		for i, v := range each(after) {
			if how := looser(v, each(before)[i]); how != "" {
				t.Fatalf("%s after %+v: %s", workload.Activities[i], e, how)
			}
		}
	})
}

// The gate and the answer are two views of one reading.
func TestGateAgreesWithTheAnswer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, l := []*workload.Policy{drawPolicy(t)}, drawLedger(t)
		a := judge(l, 12, p)
		g := workload.NewGate(workload.GateInput{On: today, Player: workload.Player{Age: 12}, Policies: p, Ledger: &l})
		if stopped := a.Throwing.Answer == workload.No || a.Throwing.Answer == workload.Unknown; g.ThrowingStopped != stopped {
			t.Fatalf("throwing is %s, stopped %v", a.Throwing.Answer, g.ThrowingStopped)
		}
		if hurt := a.Throwing.Rule == "pain" || a.Throwing.Rule == "head-or-chest-blow"; hurt != g.EmptyAll {
			t.Fatalf("decided by %s, emptied %v", a.Throwing.Rule, g.EmptyAll)
		}
		for i, v := range each(a) {
			said := false
			for _, c := range g.Cautions {
				for _, s := range c.Stops {
					said = said || s == workload.Activities[i]
				}
			}
			if forbidden := v.Answer == workload.No || v.Answer == workload.Unknown; forbidden != said {
				t.Fatalf("%s is %s, cautions %v", workload.Activities[i], v.Answer, g.Cautions)
			}
		}
	})
}
