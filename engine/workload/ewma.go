package workload

import (
	"fmt"
	"math"

	"rootcue/engine/civil"
)

// EWMA runs an exponentially weighted moving average over values from a stated
// seed: each step moves it by lambda of the way to the value (NIST/SEMATECH
// e-Handbook of Statistical Methods, 6.3.2.4). A value equal to the average
// leaves it exactly where it is.
func EWMA(seed, lambda float64, values []float64) []float64 {
	out := make([]float64, len(values))
	mean := seed
	for i, v := range values {
		mean += lambda * (v - mean)
		out[i] = mean
	}
	return out
}

// lambda is the weight of the newest day in a mean over about n days.
func lambda(n int) float64 { return 2 / (float64(n) + 1) }

// The spans of the two means, in days, and the least record for them.
const (
	shortSpan, longSpan = 7, 28
	leastDays           = 28
)

// A Load describes how the number of throws changed lately. It is a
// description and predicts nothing.
type Load struct {
	Mean7  *float64 `json:"mean_7"`  // throws a day; null when withheld
	Mean28 *float64 `json:"mean_28"` // throws a day
	Ratio  *float64 `json:"ratio"`   // mean_7 / mean_28; null too when nothing was thrown
	Seed   *float64 `json:"seed"`    // throws on the first day recorded, where both means start
	Days   int      `json:"days"`    // from the first day recorded to the day asked about
	Says   string   `json:"says"`
}

const critique = "A description only: both means are made of the same throws, the ratio hides which of the two moved, days with nothing recorded count as no throws, " +
	"and such ratios do not predict injury (Lolli et al. 2019, Br J Sports Med; Impellizzeri et al. 2020, Int J Sports Physiol Perform)."

// load is the change of the daily throws. Missing counts and fewer than 28 days
// of record withhold it.
func (b *book) load() Load {
	first := b.days[0].number
	l := Load{Days: b.on - first + 1}
	if len(b.entries) == 0 {
		l.Days = 0
	}
	if l.Days < leastDays {
		l.Says = fmt.Sprintf("Withheld: %s recorded, %d are needed.", plural(l.Days, "day"), leastDays)
		return l
	}
	values := make([]float64, l.Days)
	for i := range b.days {
		d := &b.days[i]
		if d.throws.hi >= open {
			l.Says = fmt.Sprintf("Withheld: a count of throws on %v is missing.", civil.FromNumber(d.number))
			return l
		}
		values[d.number-first] = float64(d.throws.lo) / part
	}
	seed := values[0]
	short, long := EWMA(seed, lambda(shortSpan), values)[l.Days-1], EWMA(seed, lambda(longSpan), values)[l.Days-1]
	l.Mean7, l.Mean28, l.Seed = rounded(short), rounded(long), rounded(seed)
	if long > 0 {
		l.Ratio = rounded(short / long)
	}
	l.Says = critique
	return l
}

func rounded(v float64) *float64 {
	v = round(v)
	return &v
}

// round keeps the 7 decimals that documents carry.
func round(v float64) float64 { return math.Round(v*1e7) / 1e7 }
