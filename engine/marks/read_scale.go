package marks

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"rootcue/engine/place"
	"rootcue/engine/strictjson"
	"rootcue/engine/unit"
)

var (
	scaleKeys    = []string{"from", "to", "length"}
	quantityKeys = []string{"value", "u", "unit"}
	lengthUnits  = []string{"m", "cm", "mm", "ft", "in"}
)

// readScale reads two end points and the length between them; nil after a slip.
func readScale(r *strictjson.Reader) *Scale {
	var s Scale
	var has, good [3]bool
	if !r.IsObject() {
		r.Object(nil) // reports the wrong type
		return nil
	}
	r.Object(func(key string) {
		i := slices.Index(scaleKeys, key)
		if i < 0 {
			r.Unknown(key, scaleKeys)
			return
		}
		has[i] = true
		switch key {
		case "from":
			s.From, good[i] = readPair(r, "an end point's x and y in pixels")
		case "to":
			s.To, good[i] = readPair(r, "an end point's x and y in pixels")
		case "length":
			good[i] = s.readLength(r)
		}
	})
	if r.Broken() || !allThere(r, scaleKeys, has[:]) || good != [3]bool{true, true, true} {
		return nil
	}
	return &s
}

// allThere reports each of an object's keys that was not there.
func allThere(r *strictjson.Reader, keys []string, has []bool) bool {
	whole := true
	for i, there := range has {
		if !there {
			whole = false
			r.Report(place.Problem{Code: "missing-key", Pointer: r.Pointer(), Found: "no " + strconv.Quote(keys[i]), Wanted: "it here"})
		}
	}
	return whole
}

const lengthForm = `a length with its unit, such as {"value": 163, "unit": "cm"}`

// readLength reads a quantity; a bare number is refused, since pixels have no
// unit to take it in.
func (s *Scale) readLength(r *strictjson.Reader) bool {
	if !r.IsObject() {
		if !r.IsNumber() {
			r.Object(nil) // reports the wrong type
			return false
		}
		if v, ok := r.Float(lengthForm); ok {
			r.Problem("no-unit", fmt.Sprintf("the number %g without a unit", v), lengthForm, "")
		}
		return false
	}
	var value, u float64
	var in unit.Unit
	var has, good [3]bool
	good[1] = true
	r.Object(func(key string) {
		i := slices.Index(quantityKeys, key)
		if i < 0 {
			r.Unknown(key, quantityKeys)
			return
		}
		has[i] = true
		switch key {
		case "value":
			value, good[i] = readWithin(r, "a number", -1e6, 1e6)
		case "u":
			if !r.Null() {
				u, good[i] = readWithin(r, "the standard uncertainty, in the same unit", 0, 1e6)
			}
		case "unit":
			in, good[i] = readLengthUnit(r)
		}
	})
	has[1] = true // may be left out
	if r.Broken() || !allThere(r, quantityKeys, has[:]) || good != [3]bool{true, true, true} {
		return false
	}
	s.Length, s.U = in.ToSI(value), in.ToSI(u)
	return true
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
		if near := place.Nearest(strings.ToLower(name), lengthUnits); near != "" {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		r.Problem("unknown-unit", strconv.Quote(clip(name)), place.List(lengthUnits), hint)
	case u.Dim != unit.Length:
		r.Problem("wrong-dimension", fmt.Sprintf("%s, a unit of %s", u.Name, u.Dim), "a unit of length", "")
	default:
		return u, true
	}
	return unit.Unit{}, false
}
