package report

import (
	"testing"

	"rootcue/engine"
)

// The uncertainty has one significant digit, two where the first is a 1, and the
// value ends at the same place (JCGM 100:2008, 7.2.6). The first four rows are of
// its own examples: H.1 50 000.838 with u 0.032, H.2 127.732 with u 0.071 and
// 254.260 with u 0.236, and the resistance of 7.2.6, 10.057 62 with u 0.027.
func TestRounding(t *testing.T) {
	for _, c := range []struct {
		v, u float64
		want string
	}{
		{50000.838, 0.0317, "50000.84 ± 0.03"},
		{127.73217, 0.0710714, "127.73 ± 0.07"},
		{254.2597, 0.23634, "254.3 ± 0.2"},
		{10.05762, 0.027, "10.06 ± 0.03"},
		{16.2, 1.9, "16.2 ± 1.9"},
		{16.2, 1.96, "16 ± 2"},
		{16.2, 9.7, "16 ± 10"},
		{16.2, 0.098, "16.20 ± 0.10"},
		{-0.004, 0.3, "0.0 ± 0.3"},
		{1234, 20, "1234 ± 20"},
		{7, 0, "7.00"},
	} {
		if got := withSpread(c.v, c.u); got != c.want {
			t.Errorf("%v with u %v: %s, want %s", c.v, c.u, got, c.want)
		}
	}
}

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
