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
// far more than 4,096 points would fill. Here the matrices are fixed by a hash.
// Every matrix is invertible, so in each dimension the points are the midpoints
// of 4,096 equal steps, each once; every first row differs, so that in each pair
// of dimensions (up to 4,095 of them) all four quadrants hold as many points.
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

// columns makes the matrix of a dimension: rows from the hash, taken when they
// do not depend on the rows before.
func columns(dimension uint64) [drawBits]uint16 {
	var rows, basis [drawBits]uint16
	rows[0] = uint16(dimension%(draws-1)) + 1
	independent(&basis, rows[0])
	try := dimension << 16
	for r := 1; r < drawBits; r++ {
		for {
			try++
			if row := uint16(mix(try) % draws); independent(&basis, row) {
				rows[r] = row
				break
			}
		}
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
