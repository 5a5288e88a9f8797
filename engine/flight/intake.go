package flight

import (
	"errors"
	"fmt"
	"strings"

	"rootcue/engine/place"
)

// An Input is a value an answer was worked out from: the way back.
type Input struct {
	Name   string  `json:"name"`           // key in the request
	Value  float64 `json:"value"`          // in Unit
	U      float64 `json:"u"`              // standard uncertainty, same unit
	Unit   string  `json:"unit,omitempty"` // SI; absent for a pure number
	Source string  `json:"source"`         // "stated", or where a default comes from
}

const stated = "stated"

// A Note says something about an answer that a number does not.
type Note struct {
	Code string `json:"code"`
	Says string `json:"says"`
}

// intake turns a request's quantities into amounts, keeping every slip and
// every value used.
type intake struct {
	problems []place.Problem
	inputs   []Input
	notes    []Note
}

// take is a stated quantity with the uncertainty stated within it or beside
// it, in the SI unit named; ok is false when it was left out or wrong.
func (in *intake) take(key, si string, value, u *Quantity) (a Amount, ok bool) {
	if value == nil {
		if u != nil {
			in.slip("u_"+key, "missing", "an uncertainty without its value", key+" beside it", "a default comes with an uncertainty of its own")
		}
		return Amount{}, false
	}
	a, problem := value.amount(si)
	if problem != nil {
		problem.Pointer = "/" + key
		in.problems = append(in.problems, *problem)
		return Amount{}, false
	}
	if u != nil && !in.takeU(key, si, value, u, &a) {
		return Amount{}, false
	}
	in.used(key, si, a, stated)
	return a, true
}

// takeU reads the uncertainty stated beside a value.
func (in *intake) takeU(key, si string, value, u *Quantity, a *Amount) bool {
	if value.U != nil || u.U != nil {
		in.slip("u_"+key, "stated-twice", "more than one uncertainty", "u_"+key+" or u within "+key, "")
		return false
	}
	as := Quantity{Unit: u.Unit, U: &u.Value}
	got, problem := as.amount(si)
	if problem != nil {
		problem.Pointer = "/u_" + key
		in.problems = append(in.problems, *problem)
		return false
	}
	a.U = got.U
	return true
}

// idle notes a value that was stated and plays no part. It is not read.
func (in *intake) idle(key string, value *Quantity, why string) {
	if value != nil {
		in.notes = append(in.notes, Note{"not-used", key + " " + value.text() + " is not used: " + why + "."})
	}
}

// need is take for a value that has no default.
func (in *intake) need(key, si string, value, u *Quantity) Amount {
	a, ok := in.take(key, si, value, u)
	if !ok && value == nil {
		in.slip(key, "missing", "no "+key, "a value with a unit, such as in "+si, "")
	}
	return a
}

// or is take with a default and its source.
func (in *intake) or(key, si string, value, u *Quantity, otherwise Amount, source string) Amount {
	a, ok := in.take(key, si, value, u)
	if !ok && value == nil {
		in.used(key, si, otherwise, source)
		return otherwise
	}
	return a
}

func (in *intake) used(key, si string, a Amount, source string) {
	if si == "1" {
		si = ""
	}
	in.inputs = append(in.inputs, Input{Name: key, Value: round7(a.Value), U: round7(a.U), Unit: si, Source: source})
}

func (in *intake) slip(key, code, found, wanted, hint string) {
	in.problems = append(in.problems, place.Problem{Code: code, Pointer: "/" + key, Found: found, Wanted: wanted, Hint: hint})
}

// err is nil when nothing was wrong.
func (in *intake) err() error {
	if len(in.problems) == 0 {
		return nil
	}
	return &BadRequest{in.problems}
}

// refused turns a *RangeError into a *BadRequest.
func refused(err error) error { return &BadRequest{problemOf(err)} }

// problemOf is a *RangeError as a slip at the request's key.
func problemOf(err error) []place.Problem {
	var e *RangeError
	if !errors.As(err, &e) {
		return []place.Problem{{Code: "out-of-range", Found: err.Error(), Wanted: "a value the model accepts"}}
	}
	unit := ""
	if e.Unit != "" {
		unit = " " + e.Unit
	}
	return []place.Problem{{
		Code: "out-of-range", Pointer: "/" + rangeKeys[strings.TrimSuffix(e.Name, oneAway)],
		Found:  fmt.Sprintf("%s %g%s", e.Name, e.Found, unit),
		Wanted: fmt.Sprintf("%g to %g%s", e.Low, e.High, unit),
	}}
}

// rangeKeys leads from the words of a RangeError to the request's key.
var rangeKeys = map[string]string{
	"mass": "mass", "circumference": "circumference", "drag coefficient": "cd", "uncertainty of the drag coefficient": "u_cd",
	"air density": "rho", "uncertainty of the air density": "u_rho", "lift coefficient": "lift",
	"distance": "distance", "release height": "release_height", "target height": "target_height", "speed": "speed", "time": "time",
	"base path": "base_path", "uncertainty of the base path": "base_path", "lead": "lead", "uncertainty of the lead": "lead",
	"top speed": "top_speed", "uncertainty of the top speed": "u_top_speed",
	"time constant of the start": "tau", "uncertainty of the time constant": "u_tau",
	"reaction": "reaction", "uncertainty of the reaction": "u_reaction",
	"pop time": "pop", "uncertainty of the pop time": "u_pop", "delivery": "delivery", "uncertainty of the delivery": "u_delivery",
	"tag": "tag", "uncertainty of the tag": "u_tag", "runner's time": "runner", "uncertainty of the runner's time": "u_runner",
	"exchange": "exchange", "uncertainty of the exchange": "exchange", "age": "age",
	"altitude": "altitude", "temperature": "temperature",
}
