package marks

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"rootcue/engine/quantity"
)

// throwsFilmed is how many throws each coverage figure rests on; the figure's
// own standard uncertainty is then 0.5 %.
const throwsFilmed = 2000

// An interval of ±1.96 u must hold the truth in 95 % of throws, 93 to 97 %
// here. The truth is what the figure is built from; on film err, each drawn
// anew, the clicks, the axis, the pole's stated length, the ankle's height, the
// breadth of the shoulders, the hidden shoulder, the shutter's phase, the
// ball's drag and the heights of release and arrival.
// A time interval errs by a triangular distribution, of which ±1.96 u holds 96 %.
func TestIntervalsHoldTheTruth(t *testing.T) {
	for _, fps := range []float64{30, 60, 120, 240} {
		t.Run(fmt.Sprintf("%g fps", fps), func(t *testing.T) {
			t.Parallel()
			times := tally{}
			for _, uPx := range []float64{1, 3, 6} {
				lengths := tally{}
				cover(t, fps, uPx, times, lengths)
				lengths.check(t, fmt.Sprintf("%g px", uPx), throwsFilmed)
			}
			times.check(t, "clock", 3*throwsFilmed) // pixels do not touch the clock
		})
	}
}

// A tally counts, for each measure, how often it was derived and how often
// its interval held the truth.
type tally map[string]*struct{ seen, held int }

func (c tally) count(measure string, held bool) {
	if c[measure] == nil {
		c[measure] = &struct{ seen, held int }{}
	}
	c[measure].seen++
	if held {
		c[measure].held++
	}
}

func (c tally) check(t *testing.T, what string, throws int) {
	for name, n := range c {
		if n.seen < throws*99/100 {
			t.Errorf("%s: %s was derived in %d of %d throws", what, name, n.seen, throws)
		}
		if share := float64(n.held) / float64(n.seen); share < 0.93 || share > 0.97 {
			t.Errorf("%s: %s: the interval held the truth in %.1f %% of the throws", what, name, 100*share)
		}
	}
}

func cover(t *testing.T, fps, uPx float64, times, lengths tally) {
	r := rand.New(rand.NewPCG(uint64(fps), uint64(uPx)))
	var pool quantity.Pool
	in := NewInputs(&pool)
	for i := range throwsFilmed {
		th := newThrow(r, i%2 == 0)
		f := filming{fps: fps, uPx: uPx, left: i%4 < 2, ahead: i%8 < 4, ground: i%16 < 8, noisy: true}
		out, _, problems := Derive(film(th, f, r), th.setting, in, "/reps/0/marks")
		if len(problems) > 0 {
			t.Fatalf("throw %d: %+v", i, problems[0])
		}
		for _, d := range out {
			held := math.Abs(d.Value.X-th.truth[d.Measure]) <= 1.959964*d.Value.U()
			if isTime(d.Measure) {
				times.count(d.Measure, held)
			} else {
				lengths.count(d.Measure, held)
			}
		}
	}
	if got := len(times) + len(lengths); got != len(rows) {
		t.Errorf("%d measures were derived, want all %d", got, len(rows))
	}
}

func isTime(measure string) bool {
	for i := range rows {
		if rows[i].measure == measure {
			return rows[i].unit == "s"
		}
	}
	return false
}
