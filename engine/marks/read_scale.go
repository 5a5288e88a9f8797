package marks

import (
	"fmt"
	"strconv"
	"strings"

	"rootcue/engine/place"
	"rootcue/engine/strictjson"
	"rootcue/engine/unit"
)

var (
	scaleKeys    = []string{"from", "to", "length"}
	quantityKeys = []string{"value", "u", "unit"}
)

// readScale reads two end points and the length between them; nil after a slip.
func readScale(r *strictjson.Reader) *Scale {
	var s Scale
	var has [3]bool
	if !r.IsObject() {
		r.Object(nil) // reports the wrong type
		return nil
	}
	r.Object(func(key string) {
		switch key {
		case "from":
			s.From, has[0] = readPair(r, "an end point's x and y in pixels")
		case "to":
			s.To, has[1] = readPair(r, "an end point's x and y in pixels")
		case "length":
			has[2] = s.readLength(r)
		default:
			r.Unknown(key, scaleKeys)
		}
	})
	if r.Broken() {
		return nil
	}
	whole := true
	for i, ok := range has {
		if !ok {
			whole = false
			r.Report(place.Problem{Code: "missing-key", Pointer: r.Pointer(), Found: "no usable " + strconv.Quote(scaleKeys[i]), Wanted: "a scale's from, to and length"})
		}
	}
	if !whole {
		return nil
	}
	return &s
}

const lengthForm = `a length with its unit, such as {"value": 163, "unit": "cm"}`

// readLength reads a quantity; a bare number is refused, since pixels have no
// unit to take it in.
func (s *Scale) readLength(r *strictjson.Reader) bool {
	if !r.IsObject() {
		found := "something else"
		if r.IsNumber() {
			v, _ := r.Float(lengthForm)
			found = fmt.Sprintf("the number %g without a unit", v)
		} else {
			r.Skip()
		}
		if !r.Broken() {
			r.Problem("no-unit", found, lengthForm, "")
		}
		return false
	}
	var value, u float64
	var in unit.Unit
	var hasValue, hasUnit bool
	hasU := true
	r.Object(func(key string) {
		switch key {
		case "value":
			value, hasValue = readWithin(r, "a number", -1e6, 1e6)
		case "u":
			if !r.Null() {
				u, hasU = readWithin(r, "the standard uncertainty, in the same unit", 0, 1e6)
			}
		case "unit":
			in, hasUnit = readLengthUnit(r)
		default:
			r.Unknown(key, quantityKeys)
		}
	})
	if hasValue && hasUnit && hasU {
		s.Length, s.U = in.ToSI(value), in.ToSI(u)
		return true
	}
	return false
}

func readLengthUnit(r *strictjson.Reader) (unit.Unit, bool) {
	name, ok := r.Text("a unit of length")
	if !ok {
		return unit.Unit{}, false
	}
	u, known := unit.Parse(name)
	switch {
	case !known:
		hint := ""
		if near := place.Nearest(strings.ToLower(name), unit.Names()); near != "" {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		r.Problem("unknown-unit", strconv.Quote(clip(name)), "m, cm, mm, ft or in", hint)
	case u.Dim != unit.Length:
		r.Problem("wrong-dimension", fmt.Sprintf("%s, a unit of %s", u.Name, u.Dim), "a unit of length", "")
	default:
		return u, true
	}
	return unit.Unit{}, false
}
