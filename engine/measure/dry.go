package measure

import (
	"fmt"

	"rootcue/engine/rubric"
)

// startAtCatch lists the measures timed from the catch. In a dry rep they are
// timed from the mitt's first movement instead, so the two kinds are never
// pooled.
var startAtCatch = [...]string{"exchange_time", "change_time", "landing_time", "pop_time"}

// settleDry decides whether dry or live reps count where they cannot be
// pooled: the kind more reps have, live on a tie.
func (s *Sheet) settleDry() {
	dry, live := 0, 0
	for i := range s.Reps {
		if !s.free[i] || !s.timedFromCatch(i) {
			continue
		}
		if s.isDry(i) {
			dry++
		} else {
			live++
		}
	}
	s.dry = dry > live
	if dry > 0 && live > 0 {
		kind, out := "live", dry
		if s.dry {
			kind, out = "dry", live
		}
		s.note("dry-and-live-mixed", fmt.Sprintf("Dry and live throws are not timed alike, so only the %s ones count for times from the catch; %d left out.", kind, out))
	}
}

func (s *Sheet) isDry(i int) bool {
	c := &s.Reps[i].Conditions
	return c.Seen[rubric.Ball] && rubric.Enumerations[rubric.Ball][c.Ball] == "dry"
}

func (s *Sheet) timedFromCatch(i int) bool {
	for m := range s.Reps[i].Cells {
		if s.Reps[i].Cells[m].Seen && s.startsAtCatch(m) {
			return true
		}
	}
	return false
}

func (s *Sheet) startsAtCatch(m int) bool {
	for _, name := range startAtCatch {
		if s.Rubric.Measures[m].Name == name {
			return true
		}
	}
	return false
}

// wrongKind reports a time of the kind of rep, dry or live, that does not count.
func (s *Sheet) wrongKind(i, m int) bool {
	return s.startsAtCatch(m) && s.isDry(i) != s.dry
}
