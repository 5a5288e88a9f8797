// Package verdict turns a value and its uncertainty into the chance that a
// limit is broken, after JCGM 106:2012 (conformity assessment).
package verdict

import "math"

// Phi is the standard normal distribution function.
func Phi(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// Above is the chance that the true value lies above limit, given the estimate
// y with standard uncertainty u (JCGM 106 7.2, with the complement). With u = 0
// it is a step, and a value on the limit is not above it.
func Above(y, u, limit float64) float64 {
	if u == 0 {
		return step(y > limit)
	}
	return Phi((y - limit) / u)
}

// Below is the chance that the true value lies below limit; on the limit with
// u = 0 it is not.
func Below(y, u, limit float64) float64 {
	if u == 0 {
		return step(y < limit)
	}
	return Phi((limit - y) / u)
}

// Outside is the chance that the true value lies outside [lo, hi] (JCGM 106
// 7.4, with the complement).
func Outside(y, u, lo, hi float64) float64 {
	if u == 0 {
		return step(y < lo || y > hi)
	}
	// The two tails, so that a chance near 0 keeps its digits.
	return Phi((lo-y)/u) + Phi((y-hi)/u)
}

func step(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// MostlyWrong is the chance that the rate of wrong is above ½ after k wrong of
// n, from Jeffreys' prior: P(rate > ½) under Beta(k+½, n−k+½), which is
// I_½(n−k+½, k+½), so that a chance near 0 keeps its digits.
func MostlyWrong(k, n int) float64 {
	return halfBeta(float64(n-k)+0.5, float64(k)+0.5)
}

// halfBeta is the regularised incomplete beta function at ½ (NIST DLMF 8.17.22,
// continued fraction by the modified Lentz method).
func halfBeta(a, b float64) float64 {
	const x = 0.5
	if x > (a+1)/(a+b+2) {
		return 1 - halfBeta(b, a)
	}
	const tiny = 1e-300
	f, c, d := 1.0, 1.0, 0.0
	for i := 0; i <= 500; i++ {
		m := float64(i / 2)
		var num float64
		switch {
		case i == 0:
			num = 1
		case i%2 == 0:
			num = m * (b - m) * x / ((a + 2*m - 1) * (a + 2*m))
		default:
			num = -(a + m) * (a + b + m) * x / ((a + 2*m) * (a + 2*m + 1))
		}
		d = 1 / notZero(1+num*d, tiny)
		c = notZero(1+num/c, tiny)
		f *= c * d
		if math.Abs(1-c*d) < 1e-15 {
			break
		}
	}
	la, _ := math.Lgamma(a)
	lb, _ := math.Lgamma(b)
	lab, _ := math.Lgamma(a + b)
	return math.Exp(a*math.Log(x)+b*math.Log(1-x)-math.Log(a)-la-lb+lab) * (f - 1)
}

func notZero(v, tiny float64) float64 {
	if math.Abs(v) < tiny {
		return tiny
	}
	return v
}
