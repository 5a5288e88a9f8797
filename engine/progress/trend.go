package progress

import (
	"math"
	"slices"
)

// A Trend is whether a series rises or falls, by the Mann–Kendall test, and by
// how much a session (Sen's slope, in the measure's unit).
type Trend struct {
	S     int     // pairs that rise less pairs that fall
	Z     float64 // normal score with continuity correction; 0 without variance
	P     float64 // two-sided chance of such an S without a trend
	Exact bool    // P by counting orders, up to 10 sessions; else by Z
	Slope float64
}

// exactTo is the longest series whose orders are counted.
const exactTo = 10

// TrendOf tests values in order of time (Mann 1945, Kendall 1975) and takes the
// median of all slopes between pairs (Sen 1968).
func TrendOf(values []float64) Trend {
	t := Trend{Slope: senSlope(values), P: 1}
	for i := range values {
		for j := range i {
			switch {
			case values[i] > values[j]:
				t.S++
			case values[i] < values[j]:
				t.S--
			}
		}
	}
	ties := runs(values)
	if v := variance(len(values), ties); v > 0 && t.S != 0 {
		t.Z = (float64(t.S) - math.Copysign(1, float64(t.S))) / math.Sqrt(v)
		t.P = math.Erfc(math.Abs(t.Z) / math.Sqrt2)
	}
	if len(values) <= exactTo {
		t.Exact, t.P = true, min(1, 2*upperTail(max(t.S, -t.S), len(values), ties))
	}
	return t
}

// senSlope is the median slope over all pairs of sessions; NaN below two.
func senSlope(values []float64) float64 {
	var slopes []float64
	for i := range values {
		for j := range i {
			slopes = append(slopes, (values[i]-values[j])/float64(i-j))
		}
	}
	slices.Sort(slopes)
	n := len(slopes)
	switch {
	case n == 0:
		return math.NaN()
	case n%2 == 1:
		return slopes[n/2]
	}
	return (slopes[n/2-1] + slopes[n/2]) / 2
}

// runs counts how often each value occurs.
func runs(values []float64) []int {
	sorted := slices.Sorted(slices.Values(values))
	var out []int
	for i, v := range sorted {
		if i == 0 || v != sorted[i-1] {
			out = append(out, 0)
		}
		out[len(out)-1]++
	}
	return out
}

// variance of S without a trend, ties taken off (Kendall 1975).
func variance(n int, ties []int) float64 {
	v := func(k int) float64 { return float64(k * (k - 1) * (2*k + 5)) }
	sum := v(n)
	for _, t := range ties {
		sum -= v(t)
	}
	return sum / 18
}

// upperTail is the chance of S or more when all orders of the values are as
// likely. Orders of a multiset by their number of inversions are counted by the
// Gaussian multinomial [n]!/Π[t]!; S = pairs without ties − 2 × inversions.
func upperTail(s, n int, ties []int) float64 {
	counts := factorial(n)
	pairs := n * (n - 1) / 2
	for _, t := range ties {
		counts = divide(counts, factorial(t))
		pairs -= t * (t - 1) / 2
	}
	tail, all := 0.0, 0.0
	for inversions, c := range counts {
		all += c
		if pairs-2*inversions >= s {
			tail += c
		}
	}
	return tail / all
}

// factorial is [n]! = Π (1 + q + … + q^(k−1)) as coefficients of q: orders of n
// different values by inversions.
func factorial(n int) []float64 {
	out := []float64{1}
	for k := 2; k <= n; k++ {
		next := make([]float64, len(out)+k-1)
		for i, c := range out {
			for j := range k {
				next[i+j] += c
			}
		}
		out = next
	}
	return out
}

// divide divides polynomials without remainder; b starts with 1.
func divide(a, b []float64) []float64 {
	rest, out := slices.Clone(a), make([]float64, len(a)-len(b)+1)
	for i := range out {
		out[i] = rest[i]
		for j, c := range b {
			rest[i+j] -= out[i] * c
		}
	}
	return out
}
