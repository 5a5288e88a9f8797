package main

import (
	"math"
	"testing"
)

// erlangC is the chance to wait in M/M/c, a = λ/μ (Erlang 1917; Kleinrock,
// Queueing Systems I, 1975, eq. 3.40).
func erlangC(c int, a float64) float64 {
	sum, term := 0.0, 1.0 // a^k/k!
	for k := range c {
		sum += term
		term *= a / float64(k+1)
	}
	last := term * float64(c) / (float64(c) - a)
	return last / (sum + last)
}

// C(1, a) = a, and C(2, 1) = 1/3, by hand; C(10, 8) ≈ 0.409 as Erlang's tables
// give it (from memory).
func TestErlangC(t *testing.T) {
	for _, x := range []struct {
		c       int
		a, want float64
	}{{1, 0.3, 0.3}, {2, 1, 1.0 / 3}, {10, 8, 0.409}} {
		if got := erlangC(x.c, x.a); math.Abs(got-x.want) > 5e-4 {
			t.Errorf("C(%d, %v) is %v, wanted %v", x.c, x.a, got, x.want)
		}
	}
}

// The simulation against formulas: M/M/1 and M/M/c wait C/(cμ-λ) on average
// (Kleinrock, eqs. 3.23 and 3.40), M/D/1 half of M/M/1 (Pollaczek and Khinchine,
// eq. 5.63); the number inside is rate × time inside (Little, Operations Research
// 9, 1961); the use is λ/cμ.
func TestQueues(t *testing.T) {
	const customers = 200_000
	for _, x := range []struct {
		name          string
		places        int
		rate, service float64
		fixed         bool
	}{
		{"M/M/1, half full", 1, 0.5, 1, false},
		{"M/M/1, busy", 1, 0.8, 1, false},
		{"M/M/2", 2, 1.6, 1, false},
		{"M/M/8", 8, 6.4, 1, false},
		{"M/D/1", 1, 0.8, 1, true},
	} {
		t.Run(x.name, func(t *testing.T) {
			t.Parallel()
			c := newClock(1)
			s, end := c.station(x.places), customers/x.rate
			c.poisson(x.rate, end, func() {
				service := x.service
				if !x.fixed {
					service *= c.chance.ExpFloat64()
				}
				s.serve(service, func() {})
			})
			c.run(end)
			use := s.use()
			wait := erlangC(x.places, x.rate*x.service) * x.service / (float64(x.places) - x.rate*x.service)
			if x.fixed {
				wait /= 2
			}
			near(t, "waiting", s.waitedFor/float64(s.came), wait, 0.05)
			near(t, "use", use, x.rate*x.service/float64(x.places), 0.01)
			near(t, "Little: inside", s.inside/end, s.left/end*(s.stayed/s.left), 0.001)
			near(t, "rate", s.left/end, x.rate, 0.01)
		})
	}
}

func near(t *testing.T, what string, got, want, share float64) {
	t.Helper()
	if math.Abs(got-want) > share*want {
		t.Errorf("%s: %v, wanted %v within %v %%", what, got, want, share*100)
	}
}
