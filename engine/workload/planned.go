package workload

import (
	"fmt"
	"slices"

	"rootcue/engine/civil"
)

// MostPlanned is the largest number of throws that can be asked about.
const MostPlanned = 999

// A Planned is what so many throws on the day asked about, on top of what is
// recorded, would come to.
type Planned struct {
	Throws int `json:"throws"`
	// Answer is whether the rules in force allow all of them: as a verdict's,
	// advice left aside.
	Answer string `json:"answer"`
	// Left is how many more would be left after them, limits that only advise
	// among them; null where no rule says.
	Left *int `json:"left"`
	// OverBy is by how many they pass the smallest number that a rule names,
	// advice among them.
	OverBy int `json:"over_by"`
	// NextDay is the next day for throwing after the one asked about, by what
	// would then be recorded; null where no rule speaks of it or none is.
	NextDay  *civil.Date `json:"next_day"`
	Cautions []Caution   `json:"cautions"` // that they would bring, besides those that stand
	Says     string      `json:"says"`
}

// planned reckons so many throws on top of the record. The last of them is
// allowed if those before it leave the answer so.
func (b *bench) planned(n int) *Planned {
	at, r := b.book.on, b.read(Throwing, b.book.on)
	after := b.withThrows(n)
	p := &Planned{Throws: n, Answer: b.withThrows(max(n-1, 0)).read(Throwing, at).answer, Left: after.read(Throwing, at).leftOver(), NextDay: after.nextDay(Throwing, at+1), Cautions: []Caution{}}
	left := r.leftOver()
	if left != nil {
		p.OverBy = max(0, n-*left)
	}
	stand := b.cautions()
	for _, c := range after.cautions() {
		if c.Level != Note && !slices.ContainsFunc(stand, func(s Caution) bool { return s.Code == c.Code && s.Says == c.Says }) {
			p.Cautions = append(p.Cautions, c)
		}
	}
	p.Says = p.says(civil.FromNumber(at), r, left)
	return p
}

// withThrows is the case with so many practice throws more on the day.
func (b *bench) withThrows(n int) *bench {
	c := &bench{b.player, b.policies, b.book.copied()}
	if n > 0 {
		c.book.today().add(&Entry{Date: civil.FromNumber(b.book.on), Kind: PracticeThrows, Count: Of(float64(n))})
	}
	return c
}

func (p *Planned) says(day civil.Date, before reading, left *int) string {
	these := plural(p.Throws, "throw")
	switch {
	case p.Throws == 0:
		return fmt.Sprintf("No throws are planned on %v.", day)
	case before.answer == No:
		return fmt.Sprintf("Throwing is not allowed on %v: none of the %s.", day, these)
	case before.answer == Unknown:
		return fmt.Sprintf("Whether throwing is allowed on %v cannot be told; treat it as at the limit: none of the %s.", day, these)
	case left == nil:
		return fmt.Sprintf("No rule in force says how many throws are left on %v; %s would be recorded.", day, these)
	case p.OverBy == 0:
		return fmt.Sprintf("%s on %v leave %d by the most a day of %s.", capital(these), day, *p.Left, before.mostBy.policy.name())
	}
	text := fmt.Sprintf("%s on %v are %d more than the %d left by the most a day of %s", capital(these), day, p.OverBy, *left, before.mostBy.policy.name())
	switch p.Answer {
	case No:
		return text + ": a rule in force forbids them."
	case Unknown:
		return text + ". A count is missing, so treat it as at the limit."
	}
	return text + ", which is advice; no rule in force forbids them."
}
