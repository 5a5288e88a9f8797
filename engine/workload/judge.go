// Package workload says what an arm may do on a day, by what was recorded of it
// and by the policies in force: whether a player may pitch, catch and throw,
// how many are left, and when next. Pain, blows and tiredness stop whatever
// the policies say. Every answer names the rule and the entry that decide.
package workload

import (
	"fmt"

	"rootcue/engine/civil"
	"rootcue/engine/place"
)

// An Answer is what the rules in force allow on a day, with what it rests on.
type Answer struct {
	On           civil.Date     `json:"on"`
	Pitching     Verdict        `json:"pitching"` // the strictest of the policies
	Catching     Verdict        `json:"catching"`
	Throwing     Verdict        `json:"throwing"`
	Totals       Totals         `json:"totals"`
	AsRecordedTo *civil.Date    `json:"as_recorded_to"` // the latest entry; null without one
	Cautions     []Caution      `json:"cautions"`
	Policies     []PolicyAnswer `json:"policies"`
	Calendar     []CalendarDay  `json:"calendar"`
	IfPitches    []Step         `json:"if_pitches_today"`
	IfThrows     *Planned       `json:"if_throws_today,omitempty"` // what the throws asked about would come to; absent unless asked
	Load         Load           `json:"load"`
	Notes        []Remark       `json:"notes"`
}

// A PolicyAnswer is what one policy says by itself.
type PolicyAnswer struct {
	Policy   string  `json:"policy"`
	Title    string  `json:"title"`
	Source   string  `json:"source"`
	Age      int     `json:"age"` // playing age by the policy's cut-off, years
	Pitching Verdict `json:"pitching"`
	Catching Verdict `json:"catching"`
	Throwing Verdict `json:"throwing"`
}

// A Remark is something worth knowing about an answer.
type Remark struct {
	Code string `json:"code"`
	Says string `json:"says"`
}

// Judge answers a request by the policies in force. Ask Problems first: the
// request must be sound. The policies come in the order of the request's names.
func Judge(q Request, policies []*Policy) Answer {
	b := newBench(q, policies)
	at := q.On.Number()
	a := Answer{
		On: q.On, Pitching: b.verdict(Pitching, at), Catching: b.verdict(Catching, at), Throwing: b.verdict(Throwing, at),
		Totals: b.book.totals(), AsRecordedTo: b.book.recordedTo(), Cautions: b.cautions(),
		Policies: []PolicyAnswer{}, Calendar: b.calendar(), IfPitches: b.ifPitches(), Load: b.book.load(), Notes: b.notes(),
	}
	if q.Throws != nil {
		a.IfThrows = b.planned(*q.Throws)
	}
	for _, p := range policies {
		one := &bench{b.player, []*Policy{p}, b.book}
		a.Policies = append(a.Policies, PolicyAnswer{p.Name, p.Title, p.Source.String(), p.age(b.player, q.On),
			one.verdict(Pitching, at), one.verdict(Catching, at), one.verdict(Throwing, at)})
	}
	return a
}

func newBench(q Request, policies []*Policy) *bench {
	return &bench{Player{q.Age, q.Born}, policies, newBook(q.Ledger, q.On)}
}

// Problems is what a request lacks or contradicts.
func (q Request) Problems(policies []*Policy) (found []place.Problem) {
	slip := func(code, pointer, what, wanted, hint string) {
		found = append(found, place.Problem{Code: code, Pointer: pointer, Found: what, Wanted: wanted, Hint: hint})
	}
	if q.On.IsZero() {
		slip("missing-key", "/on", "no date to ask about", "on: a date written YYYY-MM-DD", "")
	}
	if q.Throws != nil && (*q.Throws < 0 || *q.Throws > MostPlanned) {
		slip("out-of-range", "/throws", fmt.Sprint(*q.Throws), fmt.Sprintf("throws from 0 to %d", MostPlanned), "")
	}
	if len(policies) == 0 {
		slip("missing-key", "/policy", "no policy", "the name of at least one policy", "")
	}
	if q.Age < 0 && q.Born.IsZero() {
		slip("missing-key", "/age", "neither age nor born", "the playing age in years, or the month of birth YYYY-MM", "the rules differ by age")
	}
	if q.Born.IsZero() || q.On.IsZero() {
		return found
	}
	for _, p := range policies {
		switch {
		case p.AgeOn == civil.MonthDay{}:
			slip("no-cut-off", "/born", "born "+q.Born.String(), "the age itself: the policy "+p.Name+" does not say on which day the age counts", "give age in place of born")
		case p.age(q.player(), q.On) < 0:
			slip("out-of-range", "/born", "born "+q.Born.String(), "a month before "+q.On.String(), "")
		case q.Age >= 0 && q.Age != p.age(q.player(), q.On):
			slip("age-conflict", "/age", fmt.Sprintf("age %d and born %v", q.Age, q.Born), fmt.Sprintf("age %d: what %v makes on the cut-off %v of the policy %s", p.age(q.player(), q.On), q.Born, p.AgeOn, p.Name), "leave one of the two out")
		}
	}
	return found
}

func (q Request) player() Player { return Player{q.Age, q.Born} }

// recordedTo is the date of the latest entry.
func (b *book) recordedTo() *civil.Date {
	if len(b.entries) == 0 {
		return nil
	}
	d := b.entries[len(b.entries)-1].Date
	return &d
}

// notes says which rules could not be judged, and which policies have none for
// the age.
func (b *bench) notes() []Remark {
	notes := []Remark{}
	at := b.book.on
	for _, p := range b.policies {
		age, spoken := p.age(b.player, civil.FromNumber(at)), false
		for _, a := range Activities {
			spoken = lookAt(p, b.player, b.book, a, at).spoken || spoken
		}
		if !spoken {
			notes = append(notes, Remark{"no-rule-for-age", fmt.Sprintf("%s has no rule for age %d.", p.name(), age)})
		}
		for _, row := range p.Pitching {
			if !row.Ages.hold(age) {
				continue
			}
			if _, last := b.book.inningsIn(at); row.Innings != nil && last == nil {
				notes = append(notes, Remark{"not-judged", fmt.Sprintf("The rule of %s on innings in 12 months is not judged: no innings pitched are recorded.", p.name())})
			}
			if row.MonthsOff != nil && b.book.monthsUnknown(at) {
				notes = append(notes, Remark{"not-judged", fmt.Sprintf("The rule of %s on months off is not judged: no time off, or less than 12 months, is recorded.", p.name())})
			}
		}
	}
	return notes
}
