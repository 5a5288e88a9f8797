package measure

import (
	"fmt"

	"rootcue/engine/body"
	"rootcue/engine/civil"
	"rootcue/engine/observation"
	"rootcue/engine/quantity"
)

// freshStature is the number of days for which a stature counts as current.
const freshStature = 90

func (s *Sheet) readPlayer(o *observation.Observation) {
	age, ok := s.playingAge(o)
	if !ok {
		return
	}
	s.Age, s.Band = age, s.Rubric.BandOf(age)
	if s.Band < 0 {
		s.problem("age-in-no-band", agePointer(o), fmt.Sprintf("playing age %d", age), "an age in one of the bands "+bandNames(s), "")
		return
	}
	s.readStature(o)
}

func agePointer(o *observation.Observation) string {
	if o.Player.Age != 0 {
		return "/player/age"
	}
	return "/player/born"
}

func bandNames(s *Sheet) string {
	names := ""
	for i, b := range s.Rubric.Bands {
		if i > 0 {
			names += ", "
		}
		names += b.Name
	}
	return names
}

// playingAge is the stated age, or the one the month of birth gives; the two
// must agree.
func (s *Sheet) playingAge(o *observation.Observation) (int, bool) {
	p := &o.Player
	cut := s.Rubric.Cutoff
	if p.BornYear == 0 {
		return p.Age, true
	}
	born := civil.PlayingAge(p.BornYear, p.BornMonth, o.On, cut.Month, cut.Day)
	if p.Age != 0 && p.Age != born {
		s.problem("age-conflict", "/player/age", fmt.Sprintf("age %d", p.Age),
			fmt.Sprintf("age %d, which born %04d-%02d makes on the cutoff %02d-%02d of that season", born, p.BornYear, p.BornMonth, cut.Month, cut.Day), "state one of the two")
		return 0, false
	}
	return born, true
}

// readStature takes the stated height, or the published median for the age.
func (s *Sheet) readStature(o *observation.Observation) {
	if p := o.Player; p.StatureCM != 0 {
		s.Stature = quantity.Value{X: p.StatureCM / 100}
		if days := p.StatureOn.DaysTo(o.On); !p.StatureOn.IsZero() && days > freshStature {
			s.note("stature-old", fmt.Sprintf("The stature was taken %d days before; measure again after %d days.", days, freshStature))
		}
		return
	}
	x, u, ok := body.Stature(s.Age)
	if !ok {
		return
	}
	s.Stature = quantity.Value{X: x, Parts: []quantity.Part{{Input: quantity.Stature, D: u}}}
	s.note("stature-from-table", fmt.Sprintf("No stature was stated. The published median for age %d is used: %.0f ± %.0f cm (CDC 2000, mean of boys and girls).", s.Age, 100*x, 100*u))
}
