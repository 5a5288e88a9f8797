package flight

import (
	"fmt"
	"math"

	"rootcue/engine/place"
	"rootcue/engine/strictjson"
	"rootcue/engine/unit"
)

// A Quantity is a value as a request states it. In JSON it is a number in SI
// (kg, s, m, m/s), a text with a unit such as "60mph", or an object
// {"value": 60, "u": 2, "unit": "mph"}; u is the standard uncertainty in the
// same unit, and unit may be left out for SI and pure numbers.
type Quantity struct {
	Value float64  `json:"value"`
	U     *float64 `json:"u,omitempty"`
	Unit  string   `json:"unit,omitempty"`
}

// SI is a quantity in SI without a stated uncertainty.
func SI(value float64) *Quantity { return &Quantity{Value: value} }

// ParseQuantity reads a number with its unit behind it, such as "60mph".
func ParseQuantity(text string) (*Quantity, error) {
	v, u, err := unit.ParseQuantity(text)
	if err != nil {
		return nil, err
	}
	return &Quantity{Value: v, Unit: u.Name}, nil
}

// UnmarshalJSON reads any of the three forms; the error lists every slip.
func (q *Quantity) UnmarshalJSON(data []byte) error {
	problems := strictjson.Read(data, func(r *strictjson.Reader) {
		if got := readQuantity(r); got != nil {
			*q = *got
		}
	})
	if len(problems) > 0 {
		return &BadRequest{problems}
	}
	return nil
}

const quantityForms = `a number in SI, a text such as "60mph", or an object with value, unit and u`

// readQuantity reads the next value in any of the three forms; nil after a slip.
func readQuantity(r *strictjson.Reader) *Quantity {
	switch {
	case r.IsObject():
		return readQuantityObject(r)
	case r.IsNumber():
		v, ok := r.Float(quantityForms)
		if !ok {
			return nil
		}
		return SI(v)
	}
	text, ok := r.Text(quantityForms)
	if !ok {
		return nil
	}
	q, err := ParseQuantity(text)
	if err != nil {
		r.Problem("bad-quantity", fmt.Sprintf("the text %q", text), "a number and a unit, such as 60mph or 1.26s", "")
	}
	return q
}

func readQuantityObject(r *strictjson.Reader) *Quantity {
	var q Quantity
	has, good := false, true
	r.Object(func(key string) {
		ok := true
		switch key {
		case "value":
			has = true
			q.Value, ok = r.Float("a number")
		case "u":
			var u float64
			if u, ok = r.Float("a standard uncertainty, 0 or more"); ok {
				q.U = &u
			}
		case "unit":
			q.Unit, ok = r.Text("the name of a unit")
		default:
			ok = false
			r.Unknown(key, []string{"value", "u", "unit"})
		}
		good = good && ok
	})
	if !has && !r.Broken() {
		r.Problem("missing", "no value", "an object with value", "")
	}
	if !has || !good {
		return nil
	}
	return &q
}

// amount is the quantity in the SI unit named, with its uncertainty; 0 when
// none is stated. The found and wanted of a problem are words; its place is
// the caller's.
func (q *Quantity) amount(si string) (Amount, *place.Problem) {
	from, to := unit.Must(si), unit.Must(si)
	if q.Unit != "" {
		named, ok := unit.Parse(q.Unit)
		if !ok {
			return Amount{}, &place.Problem{Code: "unknown-unit", Found: fmt.Sprintf("the unit %q", q.Unit), Wanted: "a unit of " + string(to.Dim) + ", such as " + si}
		}
		if named.Dim != to.Dim {
			return Amount{}, &place.Problem{Code: "wrong-dimension", Found: "a " + string(named.Dim) + " in " + q.Unit, Wanted: "a " + string(to.Dim) + ", such as in " + si}
		}
		from = named
	}
	a := Amount{Value: from.ToSI(q.Value)}
	if q.U != nil {
		a.U = from.ToSI(*q.U)
	}
	if !(a.U >= 0) || math.IsInf(a.U, 1) || math.IsNaN(a.Value) || math.IsInf(a.Value, 0) {
		return Amount{}, &place.Problem{Code: "out-of-range", Found: fmt.Sprintf("%g with uncertainty %g", a.Value, a.U), Wanted: "finite numbers, the uncertainty 0 or more"}
	}
	return a, nil
}

// text is the quantity as it was stated.
func (q *Quantity) text() string {
	if q.Unit == "" {
		return fmt.Sprintf("%g", q.Value)
	}
	return fmt.Sprintf("%g %s", q.Value, q.Unit)
}

// BadRequest is a request with something wrong in it: every slip, each with
// the JSON Pointer of the value.
type BadRequest struct{ Problems []place.Problem }

// Error lists the slips, one a line.
func (e *BadRequest) Error() string {
	text := ""
	for i, p := range e.Problems {
		if i > 0 {
			text += "\n"
		}
		text += p.Pointer + ": found " + p.Found + ", wanted " + p.Wanted
		if p.Hint != "" {
			text += " (" + p.Hint + ")"
		}
	}
	return text
}
