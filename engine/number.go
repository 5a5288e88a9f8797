package engine

import (
	"math"
	"strconv"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// A Number is written to JSON rounded to 7 decimals; NaN, not known, is null.
type Number float64

// unknown is a number that is not known.
var unknown = Number(math.NaN())

// Known reports whether the number is known.
func (n Number) Known() bool { return !math.IsNaN(float64(n)) }

// String is the number as JSON writes it.
func (n Number) String() string { return string(n.append(nil)) }

func (n Number) append(b []byte) []byte {
	if !n.Known() {
		return append(b, "null"...)
	}
	if scaled := math.Round(float64(n) * 1e7); math.Abs(scaled) < 1e15 {
		return appendDecimal(b, int64(scaled))
	}
	r := math.Round(float64(n)*1e7) / 1e7
	if math.IsInf(r, 0) { // too large to round that way
		r = float64(n)
	}
	format := byte('f')
	if math.Abs(r) >= 1e15 {
		format = 'g'
	}
	return strconv.AppendFloat(b, r, format, -1, 64)
}

// appendDecimal writes a whole number of ten-millionths, without zeros at its
// end. With at most 15 digits that is the shortest text of the rounded number.
func appendDecimal(b []byte, tenMillionths int64) []byte {
	if tenMillionths < 0 {
		b, tenMillionths = append(b, '-'), -tenMillionths
	}
	b = strconv.AppendInt(b, tenMillionths/1e7, 10)
	rest := tenMillionths % 1e7
	if rest == 0 {
		return b
	}
	b = append(b, '.')
	for place := int64(1e6); rest > 0; place /= 10 {
		b = append(b, byte('0'+rest/place))
		rest %= place
	}
	return b
}

// MarshalJSONTo writes the rounded number.
func (n Number) MarshalJSONTo(e *jsontext.Encoder) error {
	var room [32]byte
	return e.WriteValue(n.append(room[:0]))
}

// MarshalJSON writes the rounded number, for other encoders.
func (n Number) MarshalJSON() ([]byte, error) { return n.append(nil), nil }

// UnmarshalJSON reads a number, null as not known.
func (n *Number) UnmarshalJSON(b []byte) error {
	if string(b) == "null" {
		*n = unknown
		return nil
	}
	v, err := strconv.ParseFloat(string(b), 64)
	*n = Number(v)
	return err
}

// MarshalJSONTo writes null for a rule without a limit.
func (l Limit) MarshalJSONTo(e *jsontext.Encoder) error {
	if l == (Limit{}) {
		return e.WriteToken(jsontext.Null)
	}
	type plain Limit
	return json.MarshalEncode(e, plain(l))
}

// MarshalJSONTo writes only the parts of a clock without an exchange.
func (c Clock) MarshalJSONTo(e *jsontext.Encoder) error {
	if !c.Seen {
		return json.MarshalEncode(e, struct {
			Parts []Part `json:"parts"`
		}{c.Parts})
	}
	type plain Clock
	return json.MarshalEncode(e, plain(c))
}

// MeasuresSeen are the measures seen, in the order of the rubric: a JSON object.
type MeasuresSeen []NamedMeasure

// A NamedMeasure is one member of MeasuresSeen.
type NamedMeasure struct {
	Name string
	MeasureSeen
}

// MarshalJSONTo writes an object in the order of the rubric.
func (m MeasuresSeen) MarshalJSONTo(e *jsontext.Encoder) error {
	return writeObject(e, len(m), func(i int) (string, any) { return m[i].Name, &m[i].MeasureSeen })
}

// Reads are the inputs of a rule, in the order of the rubric: a JSON object.
type Reads []Read

// A Read is one input of a rule.
type Read struct {
	Name  string `json:"-"`
	Value Number `json:"value"`
	U     Number `json:"u"`
	Unit  string `json:"unit"`
}

// MarshalJSONTo writes an object in the order of the rubric.
func (r Reads) MarshalJSONTo(e *jsontext.Encoder) error {
	return writeObject(e, len(r), func(i int) (string, any) { return r[i].Name, &r[i] })
}

func writeObject(e *jsontext.Encoder, n int, member func(i int) (string, any)) error {
	if err := e.WriteToken(jsontext.BeginObject); err != nil {
		return err
	}
	for i := range n {
		name, value := member(i)
		if err := e.WriteToken(jsontext.String(name)); err != nil {
			return err
		}
		if err := json.MarshalEncode(e, value); err != nil {
			return err
		}
	}
	return e.WriteToken(jsontext.EndObject)
}

// JSON is the assessment's document, ending in a line feed.
func (a *Assessment) JSON() ([]byte, error) {
	b, err := json.Marshal(a, json.Deterministic(true))
	return append(b, '\n'), err
}
