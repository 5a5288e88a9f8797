package engine

import (
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

func TestNumber(t *testing.T) {
	for _, c := range []struct {
		x    float64
		want string
	}{
		{0, "0"}, {math.Copysign(0, -1), "0"}, {1, "1"}, {-1, "-1"}, {0.5, "0.5"}, {-0.25, "-0.25"}, {1.0000001, "1.0000001"}, {0.00000004, "0"}, {-0.00000004, "0"}, {0.00000006, "0.0000001"},
		{0.1 + 0.2, "0.3"}, {2.0 / 3, "0.6666667"}, {100, "100"}, {1e7, "10000000"}, {99999999.9999999, "99999999.9999999"}, {123456789.25, "123456789.25"}, {1e20, "1e+20"}, {math.MaxFloat64, "1.7976931348623157e+308"}, {math.NaN(), "null"},
	} {
		if got := Number(c.x).String(); got != c.want {
			t.Errorf("%v is written %s, wanted %s", c.x, got, c.want)
		}
	}
}

// TestNumberIsTheShortest: what is written is the shortest text of the number
// rounded to 7 decimals, and reads back as it.
func TestNumberIsTheShortest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.OneOf(rapid.Float64Range(-10, 10), rapid.Float64Range(-1e9, 1e9)).Draw(t, "x")
		rounded := math.Round(x*1e7) / 1e7
		if rounded == 0 {
			rounded = 0
		}
		want := strconv.FormatFloat(rounded, 'f', -1, 64)
		if want == "-0" {
			want = "0"
		}
		if got := Number(x).String(); got != want {
			t.Fatalf("%v is written %s, wanted %s", x, got, want)
		}
		var back Number
		if err := back.UnmarshalJSON([]byte(want)); err != nil || float64(back) != rounded {
			t.Fatalf("%s is read as %v, %v", want, back, err)
		}
	})
}
