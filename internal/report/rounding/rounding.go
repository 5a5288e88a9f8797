// Package rounding writes numbers to what their uncertainty supports.
package rounding

import (
	"math"
	"strconv"
)

// decimals is how many decimals an uncertainty supports: one significant
// digit of u, two where the first is a 1 (GUM 7.2.6: u to at most two).
func decimals(u float64) int {
	if !(u > 0) || math.IsInf(u, 0) {
		return 2
	}
	power := int(math.Floor(math.Log10(u)))
	lead := u / math.Pow10(power)
	if math.Round(lead) >= 10 {
		power, lead = power+1, 1
	}
	if lead < 1.95 {
		power--
	}
	return min(max(-power, 0), 6)
}

// Value writes a value to what its uncertainty supports.
func Value(v, u float64) string {
	n := decimals(u)
	scale := math.Pow10(n)
	if r := math.Round(v*scale) / scale; r == 0 {
		v = 0 // no -0
	}
	return strconv.FormatFloat(v, 'f', n, 64)
}

// WithSpread writes v ± u; without a known uncertainty v alone.
func WithSpread(v, u float64) string {
	if !(u > 0) {
		return Value(v, u)
	}
	return Value(v, u) + " ± " + Value(u, u)
}
