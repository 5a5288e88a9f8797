package rounding

import "testing"

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
		if got := WithSpread(c.v, c.u); got != c.want {
			t.Errorf("%v with u %v: %s, want %s", c.v, c.u, got, c.want)
		}
	}
}
