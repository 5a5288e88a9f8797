package workload

import (
	"math"

	"rootcue/engine/civil"
)

// An Activity is what a player may or may not do on a day.
type Activity string

// The activities.
const (
	Pitching Activity = "pitching"
	Catching Activity = "catching"
	Throwing Activity = "throwing"
)

// Activities lists the activities in the order of the answers.
var Activities = []Activity{Pitching, Catching, Throwing}

// The rules, by the names of their keys in a policy; the last three are in
// every answer, whatever the policy.
const (
	ruleMost     = "most_a_day"
	ruleRest     = "rest"
	ruleRunning  = "days_running"
	ruleInnings  = "innings_in_12_months"
	ruleMonths   = "months_off"
	ruleNone     = "none_that_day_after_pitches"
	ruleNoPitch  = "no_pitching_that_day_after_innings"
	ruleNoReturn = "no_return_after"
	rulePain     = "pain"
	ruleBlow     = "head-or-chest-blow"
	ruleTired    = "tired"
	never        = math.MaxInt // no day on which the rule ends by itself
	monthDays    = 30          // a month off
	longestRest  = 60          // days, see the form of a tier
	noMost       = math.MaxInt // no rule says how many
)

// A finding is a rule that stands against an activity on a day.
type finding struct {
	policy      *Policy // nil for pain, blows and tiredness
	activity    Activity
	rule        string
	level       Level
	sure        bool // false: only if the missing counts are as high as they can be
	until       int  // the first day on which the rule no longer stands against it
	entry       *Entry
	limit, more int  // what the rule says, in its own units
	have        span // what was recorded, in parts
}

// A look holds one policy's rules on one activity against the book for a day.
type look struct {
	policy   *Policy
	book     *book
	activity Activity
	at       int // the day's number
	age      int
	spoken   bool // a rule in force speaks of the activity
	left     int  // how many more, noMost without such a rule
	found    []finding
}

// lookAt applies the policy's rules of the player's age on that day.
func lookAt(p *Policy, q Player, b *book, a Activity, at int) look {
	l := look{policy: p, book: b, activity: a, at: at, left: noMost}
	l.age = p.age(q, civil.FromNumber(at))
	switch a {
	case Pitching:
		l.pitching()
	case Catching:
		l.catching()
	case Throwing:
		l.throwing()
	}
	return l
}

// against notes a rule that surely or possibly stands against the activity.
func (l *look) against(f finding, surely, possibly bool) {
	if !possibly {
		return
	}
	f.policy, f.activity, f.sure = l.policy, l.activity, surely
	l.found = append(l.found, f)
}

// most applies a daily limit to what was recorded that day.
func (l *look) most(level Level, limit int, have span, e *Entry) {
	l.spoken = true
	if left := max(0, limit-(have.hi+part-1)/part); left < l.left {
		l.left = left
	}
	surely, possibly := have.least(limit * part)
	l.against(finding{rule: ruleMost, level: level, until: l.at + 1, entry: e, limit: limit, have: have}, surely, possibly)
}

func (l *look) throwing() {
	d := l.book.find(l.at)
	for _, row := range l.policy.Throwing {
		if row.Ages.hold(l.age) && row.MostADay != nil {
			l.most(row.Level, *row.MostADay, d.throws, d.throwEntry)
		}
	}
}

// catching applies the rules on catching after pitching the same day. The
// ledger does not say which came first: the rule is taken to hold.
func (l *look) catching() {
	d := l.book.find(l.at)
	for i := range l.policy.Catching {
		row := &l.policy.Catching[i]
		if !row.Ages.hold(l.age) {
			continue
		}
		have := d.counted(row.LastBatter)
		if n := row.NoneAfterPitches; n != nil {
			l.spoken = true
			surely, possibly := have.least(*n * part)
			l.against(finding{rule: ruleNone, level: row.Level, until: l.at + 1, entry: d.pitchEntry, limit: *n, have: have}, surely, possibly)
		}
		if n := row.NoReturn; n != nil {
			l.spoken = true
			pitched, maybePitched := have.least(n.Pitches * part)
			caught, maybeCaught := d.caught.ceil().least(n.Innings)
			l.against(finding{rule: ruleNoReturn, level: row.Level, until: l.at + 1, entry: d.pitchEntry, limit: n.Pitches, more: n.Innings, have: have},
				pitched && caught, maybePitched && maybeCaught)
		}
	}
}
