package workload

import "rootcue/engine/civil"

// Totals is what was recorded, added up.
type Totals struct {
	Day         Sum       `json:"day"`            // the day asked about
	Season      Sum       `json:"season"`         // since 1 September
	Year        Sum       `json:"last_12_months"` // up to the day asked about
	DaysRunning int       `json:"days_running"`   // days running with pitching, up to the day asked about or the day before
	Missing     []Missing `json:"missing"`        // what the sums lack
}

// A Sum adds up the counts that are known.
type Sum struct {
	Pitches        int     `json:"pitches"`
	Throws         int     `json:"throws"` // pitches among them
	InningsPitched float64 `json:"innings_pitched"`
	InningsCaught  float64 `json:"innings_caught"`
	DaysPitched    int     `json:"days_pitched"`
	Unknown        int     `json:"unknown"` // entries whose count is missing: not in the sums
}

// Missing is an entry whose count is not known, or a line that could not be
// read.
type Missing struct {
	Line int         `json:"line"`
	Date *civil.Date `json:"date"` // null for a line that could not be read
	Kind Kind        `json:"kind"`
	Says string      `json:"says"`
}

func (b *book) totals() Totals {
	on := civil.FromNumber(b.on)
	t := Totals{
		Day: b.sum(b.on), Season: b.sum(civil.SeasonStart(on).Number()), Year: b.sum(yearBefore(b.on) + 1),
		DaysRunning: b.daysRunning(), Missing: []Missing{},
	}
	for _, e := range b.entries {
		if e.Kind.counted() && !e.Count.known {
			t.Missing = append(t.Missing, Missing{e.Line, &e.Date, e.Kind, "the count is not known"})
		}
	}
	for _, u := range b.unread {
		t.Missing = append(t.Missing, Missing{Line: u.Line, Says: u.Says})
	}
	return t
}

// sum adds up the entries from a day on.
func (b *book) sum(from int) Sum {
	var s Sum
	var pitches, throws, pitched, caught int
	for i := len(b.entries) - 1; i >= 0 && b.entries[i].Date.Number() >= from; i-- {
		e := b.entries[i]
		switch {
		case e.Kind.counted() && !e.Count.known:
			s.Unknown++
		case e.Kind == InningsPitched:
			pitched += e.Count.parts
		case e.Kind == InningsCaught:
			caught += e.Count.parts
		case e.Kind.throws():
			throws += e.Count.parts
			if e.Kind == Pitches {
				pitches += e.Count.parts
			}
		}
	}
	b.since(from, func(d *day) {
		if d.worked() {
			s.DaysPitched++
		}
	})
	s.Pitches, s.Throws = pitches/part, throws/part
	s.InningsPitched, s.InningsCaught = round(float64(pitched)/part), round(float64(caught)/part)
	return s
}

// daysRunning counts back the days with pitching, each the day before the last;
// the day asked about itself may be without.
func (b *book) daysRunning() (n int) {
	last := b.on
	if !b.today().worked() {
		last--
	}
	b.since(0, func(d *day) {
		if d.worked() && d.number == last-n {
			n++
		}
	})
	return n
}
