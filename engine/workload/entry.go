package workload

import (
	"cmp"
	"slices"

	"rootcue/engine/civil"
)

// An Entry is one line of a player's ledger.
type Entry struct {
	Line         int        // of the ledger, from 1; 0 for entries that no file holds
	Date         civil.Date // zero where pain or a blow has a date that cannot be read: it holds on every day
	Kind         Kind
	Count        Count
	AtLastBatter Count  // pitches thrown before the last batter's first pitch
	Game         string // which game of the day; empty = the day's one game
	Where        string // for which team
	Pain         bool   // pain was reported with it
	PainSays     string // in the reporter's words, empty without pain
	Note         string
	Source       string // "assessed" for throws counted by an assessment, else empty
}

// Assessed is the entry for n throws to bases seen in an assessment of that
// day: every rep in which the ball was let go is a throw.
func Assessed(on civil.Date, n int) Entry {
	return Entry{Date: on, Kind: BaseThrows, Count: Of(float64(n)), Source: "assessed"}
}

// A Ledger is what is recorded of one player. The order of entries has no
// meaning: a late entry or a correction counts as if it had always stood there.
type Ledger struct {
	Entries []Entry
	Unread  []Unread // lines that could not be used, so that totals can say what is missing
}

// Unread is a line of a ledger of which nothing could be used.
type Unread struct {
	Line int
	Says string
}

// sorted is the entries up to and with that day, in an order of their own, so
// that no answer depends on the order in which they were written.
func (l Ledger) sorted(on civil.Date) []*Entry {
	kept := make([]*Entry, 0, len(l.Entries))
	for i := range l.Entries {
		e := &l.Entries[i]
		switch {
		case e.Date.IsZero():
			undated := *e
			undated.Date = on
			kept = append(kept, &undated)
		case !e.Date.After(on):
			kept = append(kept, e)
		}
	}
	slices.SortFunc(kept, func(a, b *Entry) int {
		if c := a.Date.Compare(b.Date); c != 0 {
			return c
		}
		if c := cmp.Compare(a.Kind, b.Kind); c != 0 {
			return c
		}
		return cmp.Or(cmp.Compare(b.Count.parts, a.Count.parts),
			cmp.Compare(a.Game, b.Game), cmp.Compare(a.Where, b.Where), cmp.Compare(a.Line, b.Line))
	})
	return kept
}
