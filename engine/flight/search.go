package flight

import "math"

// search brackets the best launch slope: the one with the greatest height at
// the target's distance. That height is a concave function of the slope, so
// Newton's steps from below never pass the lower of the two slopes that hit.
type search struct {
	low, high         float64 // slopes at which the height still rises and already falls
	lowMiss, lowRate  float64 // height above the target and its derivative at low
	lowPull, highPull float64 // derivatives at both ends, for the false position
	side              int     // end moved last: −1 low, +1 high
}

func newSearch() search { return search{low: math.Inf(-1), high: math.Inf(1)} }

// note takes in a slope tried: its height above the target and the derivative
// of that height. An end that stays put twice pulls half as hard (the Illinois
// rule), so that both ends close in.
func (s *search) note(slope, miss, rate float64) {
	if rate > 0 {
		s.low, s.lowMiss, s.lowRate, s.lowPull = slope, miss, rate, rate
		if s.side < 0 {
			s.highPull /= 2
		}
		s.side = -1
		return
	}
	s.high, s.highPull = slope, rate
	if s.side > 0 {
		s.lowPull /= 2
	}
	s.side = 1
}

// isBest reports whether the slope tried last, which missed, is as good as any:
// on a concave curve the best is at most rate × width higher.
func (s *search) isBest(miss, rate float64) bool {
	width := s.high - s.low
	return miss < 0 && miss+math.Abs(rate)*width < 0 && (math.Abs(rate)*width < 1e-9 || width < 1e-12)
}

// next is the slope to try: where the tangent at low hits the target, or, when
// that lies beyond the best slope, where the derivative should be zero.
func (s *search) next(top float64) float64 {
	switch {
	case math.IsInf(s.low, -1):
		return s.high - 1
	case math.IsInf(s.high, 1):
		return min(s.low-s.lowMiss/s.lowRate, (s.low+top)/2)
	}
	if hit := s.low - s.lowMiss/s.lowRate; hit < s.high {
		return hit
	}
	return s.low + (s.high-s.low)*s.lowPull/(s.lowPull-s.highPull)
}
