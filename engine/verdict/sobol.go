package verdict

import "math"

// Draws is the number of fixed draws a condition is judged by.
const Draws = 512

// MostInputs is the most uncertain inputs one condition may have: the
// dimensions of the table below.
const MostInputs = len(joeKuo) + 1

// joeKuo holds the primitive polynomials (degree and coded coefficients) and
// initial direction numbers of dimensions 2 and up: Joe & Kuo 2008, table
// new-joe-kuo-6, from memory; the tests check that each dimension and each
// neighbouring pair fills its cells evenly.
var joeKuo = [...]struct {
	a uint32
	m []uint32
}{
	{0, []uint32{1}},
	{1, []uint32{1, 3}},
	{1, []uint32{1, 3, 1}},
	{2, []uint32{1, 1, 1}},
	{1, []uint32{1, 1, 3, 3}},
	{4, []uint32{1, 3, 5, 13}},
	{2, []uint32{1, 1, 5, 5, 17}},
	{4, []uint32{1, 1, 5, 5, 5}},
	{7, []uint32{1, 1, 7, 11, 19}},
	{11, []uint32{1, 1, 5, 1, 1}},
	{13, []uint32{1, 1, 1, 3, 11}},
	{14, []uint32{1, 3, 5, 5, 31}},
	{1, []uint32{1, 3, 3, 9, 7, 49}},
	{13, []uint32{1, 1, 1, 15, 21, 21}},
	{16, []uint32{1, 3, 1, 13, 27, 49}},
}

const sobolBits = 32

// directions gives the direction numbers of dimension d, from 0.
func directions(d int) (v [sobolBits]uint32) {
	if d == 0 { // van der Corput
		for i := range v {
			v[i] = 1 << (sobolBits - 1 - i)
		}
		return v
	}
	p := joeKuo[d-1]
	s := len(p.m)
	for i := range v {
		if i < s {
			v[i] = p.m[i] << (sobolBits - 1 - i)
			continue
		}
		v[i] = v[i-s] ^ v[i-s]>>s
		for k := 1; k < s; k++ {
			v[i] ^= (p.a >> (s - 1 - k) & 1) * v[i-k]
		}
	}
	return v
}

// normals holds standard normal deviates: normals[d][i] is Φ⁻¹ of coordinate d
// of Sobol point i+1 in Gray-code order (Antonov & Saleev), points 1 to Draws.
var normals = func() (z [MostInputs][Draws]float64) {
	for d := range z {
		v, x := directions(d), uint32(0)
		for i := range z[d] {
			x ^= v[trailingOnes(i)]
			z[d][i] = math.Sqrt2 * math.Erfinv(2*float64(x)/(1<<sobolBits)-1)
		}
	}
	return z
}()

// trailingOnes counts the low one bits of i: the direction that turns point i
// into point i+1.
func trailingOnes(i int) int {
	n := 0
	for ; i&1 == 1; i >>= 1 {
		n++
	}
	return n
}

// Normal is the standard normal deviate of input d (from 0, by name) in draw i.
func Normal(d, i int) float64 { return normals[d][i] }
