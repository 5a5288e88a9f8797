package api

import (
	"errors"

	"rootcue/internal/club"
)

// recordProblem is the problem for what the record of a player forbids.
func recordProblem(err error) *Problem {
	switch {
	case errors.Is(err, club.ErrNotAllowed):
		return RoleTooSmall.Say("a key of a larger role must do this: pain, a blow and a clearance are an admin's to take back or enter, other health entries an instructor's")
	case errors.Is(err, club.ErrAssessed):
		return Conflict.Say("the entry was counted from an observation; correct the observation, and it follows")
	case errors.Is(err, club.ErrReplaced):
		return Conflict.Say("the assessment was replaced by a later one of the same observation; use that one")
	case errors.Is(err, club.ErrNotReleased):
		return Conflict.Say("no instructor has released the assessment yet")
	case errors.Is(err, club.ErrOpen):
		return Conflict.Say("the tryout is open already; nothing was changed")
	case errors.Is(err, club.ErrUnfinished):
		return Conflict.Say("it is still being made; its job tells how far it is").With("Retry-After", "5")
	case errors.Is(err, club.ErrManySecrets):
		return Conflict.Say("four secrets sign already; wait until the oldest is over, or make a new webhook")
	case errors.Is(err, club.ErrHeld):
		return Conflict.Say("the player is under legal hold: the law makes the club keep the data, nothing was erased")
	case errors.Is(err, club.ErrNoAge):
		return Conflict.Say("the player's age is not known, and the rules differ by age: put the month of birth or the playing age first")
	}
	return nil
}
