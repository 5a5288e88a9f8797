package panel

import (
	"math"
	"math/bits"
)

const (
	drawBits = 12
	draws    = 1 << drawBits // 4,096
)

// A net walks through 4,096 fixed points of the unit cube in any number of
// dimensions, in the way of Sobol's sequence: in each dimension the n-th point
// is the XOR of the columns of a binary matrix named by the bits of n, in Gray
// code order. Sobol's own matrices come from primitive polynomials; in hundreds
// of dimensions, which a tryout needs, many pairs of theirs leave gaps that only
// far more than 4,096 points would fill. Here the first three rows of dimension
// d are αᵈ·GF(8) in the field of 4,096 elements with the primitive element α:
// 585 planes that share nothing but zero (a spread). So in up to 585 dimensions
// every pair has 64 points in each field of an 8 × 8 board; beyond, 1,024 in
// each quadrant. The other rows are fixed by a hash, and every matrix can be
// inverted: each dimension takes the midpoints of 4,096 equal steps, each once.
type net struct {
	columns [][drawBits]uint16
	at      []uint16
	n       uint
}

func newNet(dimensions int) *net {
	w := &net{columns: make([][drawBits]uint16, dimensions), at: make([]uint16, dimensions)}
	for d := range w.columns {
		w.columns[d] = columns(uint64(d))
		w.at[d] = uint16(mix(uint64(d)<<32|0xffff) % draws) // a fixed shift: no common corner
	}
	return w
}

// next moves to the next point; each coordinate counts the steps below it, 0 … 4095.
func (w *net) next() []uint16 {
	if w.n > 0 {
		c := bits.TrailingZeros(w.n)
		for d := range w.at {
			w.at[d] ^= w.columns[d][c]
		}
	}
	w.n++
	return w.at
}

const (
	planes  = (draws - 1) / 7
	modulus = 0x1053 // x¹² + x⁶ + x⁴ + x + 1, primitive
)

// powers are αⁱ as vectors of bits.
var powers = func() (p [draws - 1]uint16) {
	for i, x := 0, uint16(1); i < len(p); i++ {
		p[i] = x
		if x <<= 1; x&draws != 0 {
			x ^= modulus
		}
	}
	return p
}()

// columns makes the matrix of a dimension: the rows of its plane, then rows from
// the hash, taken when they do not depend on the rows before.
func columns(dimension uint64) [drawBits]uint16 {
	var rows, basis [drawBits]uint16
	r := 0
	take := func(row uint16) {
		if independent(&basis, row) {
			rows[r] = row
			r++
		}
	}
	take(powers[dimension%(draws-1)])
	if dimension < planes {
		take(powers[dimension+planes])
		take(powers[dimension+2*planes])
	}
	for try := dimension << 16; r < drawBits; try++ {
		take(uint16(mix(try) % draws))
	}
	var out [drawBits]uint16
	for r, row := range rows {
		for c := range out {
			out[c] |= (row >> c & 1) << (drawBits - 1 - r)
		}
	}
	return out
}

// independent adds a row to a basis over the two-element field; false when it
// is already spanned.
func independent(basis *[drawBits]uint16, row uint16) bool {
	for b := drawBits - 1; b >= 0; b-- {
		if row>>b&1 == 0 {
			continue
		}
		if basis[b] == 0 {
			basis[b] = row
			return true
		}
		row ^= basis[b]
	}
	return false
}

// mix is the finalizer of SplitMix64 (Steele, Lea & Flood 2014).
func mix(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

// normals are the standard normal quantiles of the 4,096 midpoints.
func normals() []float64 {
	z := make([]float64, draws)
	for i := range z {
		z[i] = math.Sqrt2 * math.Erfinv(2*(float64(i)+0.5)/draws-1)
	}
	return z
}
