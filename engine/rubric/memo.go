package rubric

import (
	"math"
	"sync/atomic"
)

// A memo remembers answers of a function of three numbers that takes long to
// work out, such as the flight of a ball: a condition asks for the same flight
// in each of its draws. It changes nothing but the time an answer takes, and
// any number of goroutines may use it.
type memo [64]atomic.Pointer[remembered]

// remembered is one answer with what was asked.
type remembered struct {
	asked [3]float64
	v     float64
	seen  bool
}

// of gives the answer for what is asked, from memory or from work.
func (m *memo) of(asked [3]float64, work func() (v float64, seen bool)) (v float64, seen bool) {
	slot := &m[hash(asked)]
	if old := slot.Load(); old != nil && old.asked == asked {
		return old.v, old.seen
	}
	v, seen = work()
	slot.Store(&remembered{asked, v, seen})
	return v, seen
}

// hash mixes the bits of three numbers into a slot of a memo (the multiplier is
// 2⁶⁴ over the golden ratio; the high bits are the mixed ones).
func hash(asked [3]float64) int {
	h := uint64(0)
	for _, x := range asked {
		h = (h ^ math.Float64bits(x)) * 0x9e3779b97f4a7c15
		h ^= h >> 29
	}
	return int(h * 0x9e3779b97f4a7c15 >> 58)
}
