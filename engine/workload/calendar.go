package workload

import (
	"sort"

	"rootcue/engine/civil"
)

// calendarDays is how many days a calendar shows.
const calendarDays = 14

// A CalendarDay is the answers on one day if nothing more is thrown until then.
type CalendarDay struct {
	Date     civil.Date `json:"date"`
	Weekday  string     `json:"weekday"`
	Pitching string     `json:"pitching"`
	Left     *int       `json:"left"` // pitches; null where no rule says
	Catching string     `json:"catching"`
	Throwing string     `json:"throwing"`
}

func (b *bench) calendar() []CalendarDay {
	days := make([]CalendarDay, calendarDays)
	for i := range days {
		at := b.book.on + i
		d := civil.FromNumber(at)
		pitching := b.read(Pitching, at)
		days[i] = CalendarDay{d, d.Weekday(), pitching.answer, pitching.leftOver(), b.read(Catching, at).answer, b.read(Throwing, at).answer}
	}
	return days
}

// leftOver is how many are left: none where the answer is not yes.
func (r reading) leftOver() *int {
	left := r.left
	switch {
	case r.answer == No || r.answer == Unknown:
		left = 0
	case left == noMost:
		return nil
	}
	return &left
}

// A Step says what from so many to so many more pitches today would lead to.
type Step struct {
	From        int         `json:"from"`
	To          int         `json:"to"`
	NextPitched *civil.Date `json:"next_pitching"` // the next day for pitching after today
	Catching    string      `json:"catching_today"`
}

// ifPitches tells, for every number of pitches that is still allowed today, the
// next day for pitching and whether the player may still catch today.
func (b *bench) ifPitches() []Step {
	steps := []Step{}
	r := b.read(Pitching, b.book.on)
	if r.answer != Yes || r.left == noMost {
		return steps
	}
	c := &bench{b.player, b.policies, b.book.copied()}
	before := *c.book.today()
	after := func(n int) Step {
		*c.book.today() = before
		c.book.today().add(&Entry{Date: civil.FromNumber(b.book.on), Kind: Pitches, Count: Of(float64(n))})
		return Step{n, n, c.nextDay(Pitching, b.book.on+1), c.read(Catching, b.book.on).answer}
	}
	for n := 1; n <= r.left; {
		s := after(n)
		// More pitches never allow more, so a step holds up to the first that differs.
		s.To += sort.Search(r.left-n, func(i int) bool { return !after(n + i + 1).same(s) })
		steps = append(steps, s)
		n = s.To + 1
	}
	return steps
}

func (s Step) same(t Step) bool {
	if s.NextPitched == nil || t.NextPitched == nil {
		return s.NextPitched == t.NextPitched && s.Catching == t.Catching
	}
	return *s.NextPitched == *t.NextPitched && s.Catching == t.Catching
}
