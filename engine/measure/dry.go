package measure

import (
	"fmt"

	"rootcue/engine/rubric"
)

// settleDry decides whether dry or live reps count where they cannot be pooled,
// in the times from the catch: the kind more reps have, live on a tie.
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
		if s.Reps[i].Cells[m].Seen && s.Rubric.Measures[m].FromCatch {
			return true
		}
	}
	return false
}

// wrongKind reports a time of the kind of rep, dry or live, that does not count.
func (s *Sheet) wrongKind(i, m int) bool {
	return s.Rubric.Measures[m].FromCatch && s.isDry(i) != s.dry
}
