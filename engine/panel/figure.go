package panel

import (
	"math"
	"strconv"
)

// A Figure is a number as it is written into JSON: rounded to 7 decimals, and
// null where it is not known (NaN).
type Figure float64

// MarshalJSON writes the rounded number, or null.
func (f Figure) MarshalJSON() ([]byte, error) {
	if math.IsNaN(float64(f)) || math.IsInf(float64(f), 0) {
		return []byte("null"), nil
	}
	r := math.Round(float64(f)*1e7) / 1e7
	if r == 0 {
		r = 0 // no "-0"
	}
	return strconv.AppendFloat(nil, r, 'f', -1, 64), nil
}

// Known says whether there is a number at all.
func (f Figure) Known() bool { return !math.IsNaN(float64(f)) }

// An Interval is a figure with the ends of its 95 % interval, null where no
// interval is known.
type Interval struct {
	Value Figure `json:"value"`
	Low   Figure `json:"low"`
	High  Figure `json:"high"`
}

var unknown = math.NaN()
