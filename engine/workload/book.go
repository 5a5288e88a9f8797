package workload

import (
	"slices"

	"rootcue/engine/civil"
)

// A span is what a sum of counts may be, in parts of a Count: with every count
// known both ends are equal; a missing one leaves the upper end open.
type span struct{ lo, hi int }

// open is an upper end that no limit reaches.
const open = 1 << 40

func (s span) plus(t span) span { return span{s.lo + t.lo, min(s.hi+t.hi, open)} }

// ceil rounds up to whole innings: part of an inning is an inning played in.
func (s span) ceil() span {
	return span{(s.lo + part - 1) / part, min(s.hi, (s.hi+part-1)/part)}
}

// least reports whether the sum surely, and whether it possibly, is n or more.
func (s span) least(n int) (surely, possibly bool) { return s.lo >= n, s.hi >= n }

// of is the span of one entry's count. An entry without a count says that
// there was something: a pitch, a throw, a part of an inning.
func (e Entry) of() span {
	if e.Count.known {
		return span{e.Count.parts, e.Count.parts}
	}
	if e.Kind.innings() {
		return span{1, open}
	}
	return span{max(part, e.AtLastBatter.parts+part), open}
}

// spared is how many pitches of an outing came after the first one to the last
// batter, in parts.
func (e Entry) spared() int {
	if !e.AtLastBatter.known || !e.Count.known {
		return 0
	}
	return max(0, e.Count.parts-e.AtLastBatter.parts-part)
}

// A day is what was recorded of one date.
type day struct {
	number                                 int // civil.Date.Number
	pitches, throws, pitched, caught       span
	spared                                 int // the most that one outing spares: only one batter is the day's last
	tired                                  bool
	pitchEntry, throwEntry, pEntry, cEntry *Entry // the largest of each sort: it decides
	tiredEntry                             *Entry
}

// counted is the day's pitches that count for tiers.
func (d *day) counted(lastBatter bool) span {
	if !lastBatter {
		return d.pitches
	}
	return span{max(d.pitches.lo-d.spared, 0), d.pitches.hi - d.spared}
}

// worked reports whether the player pitched that day.
func (d *day) worked() bool { return d.pitches.lo > 0 || d.pitched.lo > 0 }

func (d *day) add(e *Entry) {
	s := e.of()
	if e.Kind.throws() {
		d.throws = d.throws.plus(s)
		d.throwEntry = larger(d.throwEntry, e)
	}
	switch e.Kind {
	case Pitches:
		d.pitches = d.pitches.plus(s)
		d.spared = max(d.spared, e.spared())
		d.pitchEntry = larger(d.pitchEntry, e)
	case InningsPitched:
		d.pitched = d.pitched.plus(s)
		d.pEntry = larger(d.pEntry, e)
	case InningsCaught:
		d.caught = d.caught.plus(s)
		d.cEntry = larger(d.cEntry, e)
	case Tired:
		d.tired, d.tiredEntry = true, e
	}
}

// larger keeps the entry that weighs more; a missing count weighs most.
func larger(a, b *Entry) *Entry {
	if a == nil || b.of().hi > a.of().hi {
		return b
	}
	return a
}

// A book is a ledger added up by days, as of a day.
type book struct {
	on      int // the day asked about; the last of days
	days    []day
	entries []*Entry
	off     []stretch
	pain    *Entry // not cleared since
	blow    *Entry
	unread  []Unread
}

// A stretch is the days from one number to another, both included.
type stretch struct{ from, to int }

func newBook(l Ledger, on civil.Date) *book {
	b := &book{on: on.Number(), entries: l.sorted(on), unread: l.Unread}
	b.days = make([]day, 0, min(len(b.entries)+1, 400))
	var cleared int // the last clearance
	for _, e := range b.entries {
		n := e.Date.Number()
		if len(b.days) == 0 || b.days[len(b.days)-1].number != n {
			b.days = append(b.days, day{number: n})
		}
		b.days[len(b.days)-1].add(e)
		switch {
		case e.Kind == Cleared:
			cleared = n
		case e.Kind == TimeOff:
			length := max(1, e.Count.parts/part)
			b.off = append(b.off, stretch{n, min(n+length-1, b.on)})
		case e.Kind == Blow:
			b.blow = e
		}
		if e.Kind == Pain || e.Pain {
			b.pain = e
		}
	}
	if len(b.days) == 0 || b.days[len(b.days)-1].number != b.on {
		b.days = append(b.days, day{number: b.on})
	}
	b.clear(cleared)
	return b
}

// clear lifts pain and blows of earlier days. On the day itself their order is
// not known, and the stop holds.
func (b *book) clear(number int) {
	if b.pain != nil && b.pain.Date.Number() < number {
		b.pain = nil
	}
	if b.blow != nil && b.blow.Date.Number() < number {
		b.blow = nil
	}
}

func (b *book) today() *day { return &b.days[len(b.days)-1] }

// find is the day with that number; a day without entries where none was kept.
func (b *book) find(number int) *day {
	for i := len(b.days) - 1; i >= 0 && b.days[i].number >= number; i-- {
		if b.days[i].number == number {
			return &b.days[i]
		}
	}
	return &day{number: number}
}

// since calls f for each kept day from number on, latest first.
func (b *book) since(number int, f func(*day)) {
	for i := len(b.days) - 1; i >= 0 && b.days[i].number >= number; i-- {
		f(&b.days[i])
	}
}

// copied is a book of its own to try things out in.
func (b *book) copied() *book {
	c := *b
	c.days = slices.Clone(b.days)
	return &c
}

// yearBefore is the last day that no longer lies in the 12 months up to a day.
func yearBefore(number int) int { return civil.FromNumber(number).AddYears(-1).Number() }

// inningsIn is the innings pitched in the 12 months up to a day, and whether
// any were recorded.
func (b *book) inningsIn(number int) (sum span, last *Entry) {
	b.since(yearBefore(number)+1, func(d *day) {
		sum = sum.plus(d.pitched)
		if last == nil {
			last = d.pEntry
		}
	})
	return sum, last
}

// daysOff is the recorded days off in the 12 months up to a day: all, and the
// longest run of them. A day on which something was thrown is none.
func (b *book) daysOff(number int) (all, running int) {
	first := yearBefore(number) + 1
	off := make([]bool, number-first+1)
	for _, s := range b.off {
		for n := max(s.from, first); n <= min(s.to, number); n++ {
			off[n-first] = true
		}
	}
	b.since(first, func(d *day) {
		if d.number <= number && (d.throws.hi > 0 || d.worked()) {
			off[d.number-first] = false
		}
	})
	run := 0
	for _, o := range off {
		run++
		if !o {
			run = 0
			continue
		}
		all++
		running = max(running, run)
	}
	return all, running
}
