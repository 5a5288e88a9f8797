package report

import (
	"testing"

	"rootcue/engine"
)

func TestLimitsAsText(t *testing.T) {
	for v, want := range map[float64]string{0: "0", 10: "10", 55.5: "55.5", 62.16: "62.2", -7.5: "-7.5", 0.1: "0.1", 1234.6: "1230"} {
		if got := limitText(v); got != want {
			t.Errorf("%v: %s, want %s", v, got, want)
		}
	}
}

// TestUnitsShown: lengths as shares of stature in centimetres, in what the
// rubric asks for, or per cent where no stature is known.
func TestUnitsShown(t *testing.T) {
	a := &engine.Assessment{Player: engine.PlayerSeen{StatureM: 1.5}}
	throw := parsed(t, "throw-to-second")
	for _, c := range []struct {
		name          string
		in            Input
		measure, unit string
		value, u      float64
		want          string
	}{
		{"share", Input{Assessment: a}, "stride_length", "stature", 0.4, 0.02, "60 ± 3 cm"},
		{"share, no stature", Input{Assessment: &engine.Assessment{}}, "stride_length", "stature", 0.4, 0.02, "40 ± 2 % of standing height"},
		{"entered in cm", Input{Assessment: a, Rubric: throw}, "arrival_height", "m", 0.95, 0.1, "95 ± 10 cm"},
		{"no rubric", Input{Assessment: a}, "arrival_height", "m", 0.95, 0.1, "0.95 ± 0.10 m"},
		{"angle", Input{Assessment: a}, "stride_off_line", "deg", 17, 3, "17 ± 3°"},
		{"ratio", Input{Assessment: a}, "path_ratio", "1", 2.34, 0.2, "2.3 ± 0.2"},
		{"unit nobody knows", Input{Assessment: a}, "x", "furlong", 2.34, 0.2, "2.3 ± 0.2"},
		{"speed in Spanish", Input{Assessment: a, Lang: "es"}, "throw_speed", "mph", 50, 2, "50 ± 2 mph"},
	} {
		v, err := newView(c.in)
		if err != nil {
			t.Fatal(err)
		}
		if got := v.amount(v.displayOf(c.measure, c.unit), c.value, c.u); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

// TestTimesShown: to a hundredth at best.
func TestTimesShown(t *testing.T) {
	v, err := newView(Input{Assessment: &engine.Assessment{}})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		s, u float64
		want string
	}{{1.304, 0.0201, "1.30 ± 0.02 s"}, {0.0149, 0.0132, "0.01 ± 0.01 s"}, {0.2, 0.004, "0.20 ± 0.01 s"}, {1.3, 0.3, "1.3 ± 0.3 s"}, {1.3, 0.12, "1.30 ± 0.12 s"}, {1, 0, "1.00 s"}} {
		if got := v.seconds(c.s, c.u); got != c.want {
			t.Errorf("%v with %v: %s, want %s", c.s, c.u, got, c.want)
		}
	}
}
