package workload

import (
	"fmt"

	"rootcue/engine/civil"
)

// The answers, loosest first.
const (
	NoRule  = "no-rule" // no rule in force speaks of it
	Yes     = "yes"
	Unknown = "unknown" // a count is missing on which the answer hangs
	No      = "no"
)

// Answers lists the answers.
var Answers = []string{Yes, No, Unknown, NoRule}

// A Verdict is the answer on one activity on one day.
type Verdict struct {
	Answer string `json:"answer"`
	// Left is how many pitches (of pitching) or throws (of throwing) are left
	// that day, limits that only advise among them; null where no rule says.
	Left *int `json:"left"`
	// NextDay is the first day from the one asked about, it included, on which
	// the answer is yes if nothing more is thrown until then; null if none is.
	NextDay *civil.Date `json:"next_day"`
	Policy  string      `json:"policy"` // whose rule decides; "always" for pain, blows and tiredness
	Rule    string      `json:"rule"`   // its key in the policy, "" where none decides
	Says    string      `json:"says"`
	Entry   *EntryRef   `json:"entry"` // the line of the ledger that decides
}

// An EntryRef points to a line of the ledger.
type EntryRef struct {
	Line   int        `json:"line"` // 0 for an entry of no ledger
	Date   civil.Date `json:"date"`
	Kind   Kind       `json:"kind"`
	Count  *float64   `json:"count"` // null = unknown
	Source string     `json:"source,omitempty"`
}

func (e *Entry) ref() *EntryRef {
	if e == nil {
		return nil
	}
	r := &EntryRef{Line: e.Line, Date: e.Date, Kind: e.Kind, Source: e.Source}
	if v, known := e.Count.Value(); known {
		v = round(v)
		r.Count = &v
	}
	return r
}

// A bench is a player's case: the policies in force and the book.
type bench struct {
	player   Player
	policies []*Policy
	book     *book
}

// A Player is what the rules need to know of a player: the playing age, or the
// month of birth from which each policy's own cut-off gives it.
type Player struct {
	Age  int
	Born civil.Birth
}

// stops is what pain, a blow or tiredness says on a day: no policy and no key
// overrides them.
func (b *bench) stops(a Activity, at int) (found []finding) {
	add := func(rule string, e *Entry, until int) {
		found = append(found, finding{activity: a, rule: rule, level: Stop, sure: true, until: until, entry: e})
	}
	if e := b.book.blow; e != nil {
		add(ruleBlow, e, never)
	}
	if e := b.book.pain; e != nil {
		add(rulePain, e, never)
	}
	if d := b.book.find(at); d.tired {
		add(ruleTired, d.tiredEntry, at+1)
	}
	return found
}

// A reading is all that the rules say on one activity on one day.
type reading struct {
	answer string
	left   int
	mostBy *look   // the rule that gives left
	why    finding // what decides, when the answer is no or unknown
	all    []finding
	until  int // the first day on which none of the binding rules stands
	spoken bool
}

// read puts the policies' rules and the stops together; the strictest holds.
func (b *bench) read(a Activity, at int) reading {
	r := reading{answer: NoRule, left: noMost, until: at}
	r.all = b.stops(a, at)
	for _, p := range b.policies {
		l := lookAt(p, b.player, b.book, a, at)
		r.spoken = r.spoken || l.spoken
		if l.left < r.left {
			r.left, r.mostBy = l.left, &l
		}
		r.all = append(r.all, l.found...)
	}
	if r.spoken {
		r.answer = Yes
	}
	for _, f := range r.all {
		if !f.level.binds() {
			continue
		}
		r.until = max(r.until, f.until)
		if r.answer == Yes || r.answer == NoRule || f.harder(r.why) {
			r.why = f
		}
		if f.sure {
			r.answer = No
		} else if r.answer != No {
			r.answer = Unknown
		}
	}
	return r
}

// harder orders what decides: what is sure before what is possible, then what
// lasts longer.
func (f finding) harder(g finding) bool {
	if f.sure != g.sure {
		return f.sure
	}
	return f.until > g.until
}

// horizon is how far ahead a next day is looked for, in days.
const horizon = 10 * 366

// nextDay is the first day from a day on, it included, on which no binding rule
// stands against the activity; nil if there is none. Where no rule speaks of
// the activity there is no such day, unless a stop ends.
func (b *bench) nextDay(a Activity, from int) *civil.Date {
	for at := from; at < from+horizon; {
		r := b.read(a, at)
		if r.until <= at {
			if !r.spoken && at == from {
				return nil
			}
			d := civil.FromNumber(at)
			return &d
		}
		at = r.until
		if at == never {
			return nil
		}
	}
	return nil
}

// verdict is the answer on an activity on a day, with what decides it.
func (b *bench) verdict(a Activity, at int) Verdict {
	r := b.read(a, at)
	v := Verdict{Answer: r.answer, NextDay: b.nextDay(a, at)}
	switch r.answer {
	case No, Unknown:
		zero := 0
		v.Left, v.Rule, v.Policy, v.Entry = &zero, r.why.rule, r.why.by(), r.why.entry.ref()
		v.Says = r.why.says(at, v.NextDay)
	case Yes:
		v.Says = fmt.Sprintf("No rule in force stands against %s on %v.", a, civil.FromNumber(at))
		if l := r.mostBy; l != nil {
			left := r.left
			v.Left, v.Rule, v.Policy, v.Says = &left, ruleMost, l.policy.Name, l.leftSays(left)
		}
	case NoRule:
		v.Says = fmt.Sprintf("No rule in force speaks of %s at this age.", a)
	}
	return v
}

// leftSays tells what an allowed day still holds. None is left only where the
// limit is advice.
func (l *look) leftSays(left int) string {
	if left > 0 {
		return fmt.Sprintf("%s on %v is allowed by what was recorded here: %d left by the most a day of %s.", capital(string(l.activity)), civil.FromNumber(l.at), left, l.policy.name())
	}
	text := ""
	for _, f := range l.found {
		if f.rule == ruleMost {
			text = f.says(l.at, nil) + " "
		}
	}
	return text + "It is advice: no rule in force forbids more."
}

// by is whose rule it is.
func (f finding) by() string {
	if f.policy == nil {
		return "always"
	}
	return f.policy.Name
}
