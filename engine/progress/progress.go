// Package progress says whether a measure has really changed from session to
// session, or only as much as it always scatters; which way it tends; and what
// came of a cue that was handed out.
//
// It describes. A change after a cue is never claimed to come from the cue.
package progress

import "math"

// A Session is one measure on one day, in the measure's own unit.
type Session struct {
	On   string    // date, YYYY-MM-DD
	Kind string    // "live" or "dry"; they are separate series
	Reps []float64 // what was read, rep by rep
	U    float64   // standard uncertainty shared by all reps of the day, which no average lessens
}

// A Side is which way is better, by the limit of the measure's fault: at most
// High, at least Low, or between both. An end that does not bind is ±Inf.
type Side struct{ Low, High float64 }

// AtMost is an upper limit: less is better.
func AtMost(high float64) Side { return Side{math.Inf(-1), high} }

// AtLeast is a lower limit: more is better.
func AtLeast(low float64) Side { return Side{low, math.Inf(1)} }

// Between is a range: nearer to it is better.
func Between(low, high float64) Side { return Side{low, high} }

// gain is how much better b is than a: below zero when worse. With one limit
// every step its way counts, past the limit too; between two, only the distance
// outside them.
func (s Side) gain(a, b float64) float64 {
	switch {
	case math.IsInf(s.Low, -1):
		return a - b
	case math.IsInf(s.High, 1):
		return b - a
	}
	outside := func(x float64) float64 { return max(s.Low-x, x-s.High, 0) }
	return outside(a) - outside(b)
}

// Word is what a change comes to.
type Word string

// What a change comes to. TooFew: nothing tells how much the measure scatters.
const (
	Better       Word = "better"
	Worse        Word = "worse"
	NoRealChange Word = "no-real-change"
	TooFew       Word = "too-few"
)

// A Change is what happened from one session to another. Least is the least
// change that is real, with the odds of 19 to 1; NaN when it cannot be known.
type Change struct {
	From, To string // dates
	Change   float64
	Least    float64
	Word     Word
}

// Changes compares two sessions of a series whose reps within a day scatter by
// within (see Within).
func Changes(a, b Session, within float64, side Side) Change {
	c := Change{From: a.On, To: b.On, Change: mean(b.Reps) - mean(a.Reps), Word: NoRealChange}
	c.Least = LeastRealChange(math.Sqrt((sq(SEM(a, within)) + sq(SEM(b, within))) / 2))
	switch gain := side.gain(mean(a.Reps), mean(b.Reps)); {
	case math.IsNaN(c.Least):
		c.Word = TooFew
	case math.Abs(c.Change) <= c.Least:
	case gain > 0:
		c.Word = Better
	case gain < 0:
		c.Word = Worse
	}
	return c
}

// Within is the standard deviation of reps within a day, pooled over sessions;
// NaN when no session has two reps.
func Within(sessions []Session) float64 {
	sum, free := 0.0, 0
	for _, s := range sessions {
		m := mean(s.Reps)
		for _, y := range s.Reps {
			sum += sq(y - m)
		}
		free += max(len(s.Reps)-1, 0)
	}
	return math.Sqrt(sum / float64(free))
}

// SEM is the standard error of measurement of a session's mean: the scatter of
// its reps, and the reading error they share.
func SEM(s Session, within float64) float64 {
	return math.Sqrt(sq(within)/float64(len(s.Reps)) + sq(s.U))
}

// LeastRealChange is 1.96·√2·SEM: the change between two sessions that scatter
// alone passes once in twenty (Weir 2005, minimal difference).
func LeastRealChange(sem float64) float64 { return 1.96 * math.Sqrt2 * sem }

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

func sq(x float64) float64 { return x * x }
