package club

import (
	"errors"
	"fmt"

	"rootcue/engine/place"
)

// A Refusal is an input that was read and is wrong: every slip with its place.
// Nothing was kept.
type Refusal struct{ Slips []place.Problem }

// Error is the first slip, with the number of others.
func (r *Refusal) Error() string {
	if len(r.Slips) == 0 {
		return "refused"
	}
	text := r.Slips[0].Summary()
	if more := len(r.Slips) - 1; more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}

// refuse is a Refusal with one slip.
func refuse(code, pointer, found, wanted, hint string) error {
	return &Refusal{[]place.Problem{{Code: code, Pointer: pointer, Found: found, Wanted: wanted, Hint: hint}}}
}

// ErrChanged: the caller built on another version than the newest one.
var ErrChanged = errors.New("changed since it was read")

// ErrNoJobs: this program runs no work that outlives a request.
var ErrNoJobs = errors.New("no jobs are run here")
