package measure_test

import (
	"fmt"
	"math"
	"testing"

	"rootcue/engine/quantity"
)

func frames(catch, transfer, release, arrival int) string {
	return fmt.Sprintf(`"marks": {"fps": 120, "frames": {"catch": %d, "transfer": %d, "release": %d, "arrival": %d}}`, catch, transfer, release, arrival)
}

// TestTimesFromFrames: an interval has u = 1/(fps·√6) (JCGM 100 4.3.7), drawn
// anew in every rep, and intervals that share an event are correlated.
func TestTimesFromFrames(t *testing.T) {
	s := readDocument(t, document(`"age": 12`, "", frames(118, 155, 238, 412)))
	u := 1 / (120 * math.Sqrt(6))
	exchange, change, pop := mean(s, "exchange_time").Value, mean(s, "change_time").Value, mean(s, "pop_time").Value
	for _, c := range []struct {
		name string
		v    quantity.Value
		x    float64
	}{{"exchange", exchange, 1}, {"change", change, 37.0 / 120}, {"pop", pop, 294.0 / 120}} {
		within(t, c.name, c.v.X, c.x)
		within(t, "u of "+c.name, c.v.U(), u)
	}
	within(t, "correlation of exchange and change, by the catch", quantity.Covariance(exchange, change)/(u*u), 0.5)
	four := readDocument(t, document(`"age": 12`, "", frames(118, 155, 238, 412), frames(18, 55, 138, 312), frames(0, 37, 120, 294), frames(1, 38, 121, 295)))
	within(t, "u over four reps", mean(four, "exchange_time").Value.U(), u/2)
}

// TestStatedBeatsMarks: with a note where they differ by more than 3 combined
// standard uncertainties.
func TestStatedBeatsMarks(t *testing.T) {
	u := math.Hypot(0.02, 1/(120*math.Sqrt(6)))
	for _, c := range []struct {
		stated float64
		note   bool
	}{{1.02, false}, {1 + 2.9*u, false}, {1 - 2.9*u, false}, {1 + 3.1*u, true}, {1 - 3.1*u, true}} {
		s := readDocument(t, document(`"age": 12`, "", fmt.Sprintf(`"measures": {"exchange_time": %v}, `, c.stated)+frames(118, 155, 238, 412)))
		if m := mean(s, "exchange_time"); m.Value.X != c.stated || m.From != "measures" {
			t.Errorf("%v stated, %v from %s", c.stated, m.Value.X, m.From)
		}
		if hasNote(s, "stated-against-marks") != c.note {
			t.Errorf("%v stated: notes %v", c.stated, s.Notes)
		}
	}
}

// TestMarksAndReadings: a mean over reps of both kinds names both sources.
func TestMarksAndReadings(t *testing.T) {
	s := readDocument(t, document(`"age": 12`, "", frames(118, 155, 238, 412), `"measures": {"exchange_time": 1.1}`))
	m := mean(s, "exchange_time")
	within(t, "mean", m.Value.X, 1.05)
	marks := readDocument(t, document(`"age": 12`, "", frames(118, 155, 238, 412)))
	if want := mean(marks, "exchange_time").From + "; measures"; m.From != want {
		t.Errorf("from %q, wanted %q", m.From, want)
	}
}
