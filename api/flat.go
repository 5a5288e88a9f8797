package api

import (
	"bytes"
	"errors"
	"unicode/utf8"

	"github.com/go-json-experiment/json/jsontext"

	"rootcue/engine/place"
)

// flat is a JSON document in one line without blanks or needless escapes: a
// form that reads the same as YAML.
type flat []byte

// readFlat checks that a body is one JSON document and flattens it.
func readFlat(body []byte) (flat, error) {
	v := jsontext.Value(append([]byte{}, body...))
	err := v.Format(jsontext.Multiline(false), jsontext.SpaceAfterColon(false), jsontext.SpaceAfterComma(false))
	if err == nil {
		return flat(v), nil
	}
	slip := Slip{Code: "not-json", Found: err.Error(), Wanted: "one JSON document in UTF-8"}
	var wrong *jsontext.SyntacticError
	if errors.As(err, &wrong) {
		slip.Pointer, slip.Found = string(wrong.JSONPointer), wrong.Err.Error()
	}
	return nil, NotJSON.At(slip)
}

// pointed gives each slip a JSON Pointer in place of the column it has in the
// flat document, which the caller never saw.
func (f flat) pointed(slips []place.Problem) []place.Problem {
	at := f.pointers()
	for i := range slips {
		slips[i].Pointer, slips[i].Line, slips[i].Column = at[slips[i].Column], 0, 0
	}
	return slips
}

// pointers leads from the column of each token, counted in characters, to its
// JSON Pointer.
func (f flat) pointers() map[int]string {
	at, column, start := map[int]string{}, 1, 0
	d := jsontext.NewDecoder(bytes.NewBuffer(f))
	for {
		before := int(d.InputOffset())
		if _, err := d.ReadToken(); err != nil {
			return at
		}
		if f[before] == ':' || f[before] == ',' {
			before++
		}
		column += utf8.RuneCount(f[start:before])
		start = before
		at[column] = string(d.StackPointer())
	}
}
