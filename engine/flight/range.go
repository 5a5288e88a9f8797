package flight

import "fmt"

// A RangeError is a value outside what the model accepts.
type RangeError struct {
	Name      string  // what the value is, in words
	Found     float64 // what was given
	Low, High float64 // what is accepted, ends included
	Unit      string  // unit of all three; empty for a pure number
}

// Error says what was found and what was wanted, with units.
func (e *RangeError) Error() string {
	unit := ""
	if e.Unit != "" {
		unit = " " + e.Unit
	}
	return fmt.Sprintf("%s: found %g%s, wanted a number from %g to %g%s", e.Name, e.Found, unit, e.Low, e.High, unit)
}

// within is nil when low ≤ found ≤ high; NaN and the infinities never are.
func within(name string, found, low, high float64, unit string) *RangeError {
	if found >= low && found <= high {
		return nil
	}
	return &RangeError{Name: name, Found: found, Low: low, High: high, Unit: unit}
}

// first is the first slip of several, nil when there is none.
func first(slips ...*RangeError) *RangeError {
	for _, e := range slips {
		if e != nil {
			return e
		}
	}
	return nil
}
