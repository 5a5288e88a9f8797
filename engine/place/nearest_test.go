package place

import (
	"testing"

	"pgregory.net/rapid"
)

func TestNearest(t *testing.T) {
	names := []string{"stride_length", "stride_off_line", "stature", "hip_height_set", "exchange_time", "age", "min", "max"}
	tests := []struct {
		name, word, want string
		known            []string
	}{
		{"one left out", "stride_lngth", "stride_length", names},
		{"one added", "staature", "stature", names},
		{"one changed", "exchange_tome", "exchange_time", names},
		{"two swapped", "stride_lenght", "stride_length", names},
		{"letter case", "Stature", "stature", names},
		{"dash for underscore", "hip-height-set", "hip_height_set", names},
		{"three slips in a long word", "strde_lngt", "stride_length", names},
		{"short word, one slip", "mix", "min", names},
		{"short word, two slips", "mop", "", names},
		{"four slips are too many", "stride_xxxx_line", "", names},
		{"nothing alike", "wind", "", names},
		{"one character is any other's neighbour", "x", "", []string{"y"}},
		{"empty word", "", "", names},
		{"nothing known", "age", "", nil},
		{"the word itself is no advice", "age", "", []string{"age"}},
		{"the first of equals", "bat", "cat", []string{"cat", "hat"}},
		{"the nearest, not the first", "seconds", "second", []string{"recond", "second"}},
		{"characters, not bytes", "größ", "größe", []string{"größe"}},
		{"endless words are not compared", string(make([]byte, 100)), "", []string{"age"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := Nearest(tt.word, tt.known); got != tt.want {
				t.Errorf("Nearest(%q) = %q, want %q", tt.word, got, tt.want)
			}
		})
	}
}

// The pair kitten and sitting, three edits apart, is the textbook example of
// edit distance (common practice); "ca" and "abc" are three apart under optimal
// string alignment and two under unrestricted Damerau-Levenshtein.
func TestSlips(t *testing.T) {
	tests := []struct {
		a, b string
		want int
	}{
		{"kitten", "sitting", 3},
		{"ca", "abc", 3},
		{"ab", "ba", 1},
		{"", "abc", 3},
		{"abc", "", 3},
		{"abc", "abc", 0},
	}
	for _, tt := range tests {
		if got := slips([]rune(tt.a), []rune(tt.b)); got != tt.want {
			t.Errorf("slips(%q, %q) = %d, want %d", tt.a, tt.b, got, tt.want)
		}
	}
}

func TestSlipsIsSymmetric(t *testing.T) {
	word := rapid.StringOfN(rapid.RuneFrom([]rune("abc_")), 0, 8, -1)
	rapid.Check(t, func(t *rapid.T) {
		a, b := []rune(word.Draw(t, "a")), []rune(word.Draw(t, "b"))
		d := slips(a, b)
		if d != slips(b, a) {
			t.Fatalf("slips(%q, %q) depends on the order", a, b)
		}
		if d < max(len(a)-len(b), len(b)-len(a)) || d > max(len(a), len(b)) {
			t.Fatalf("slips(%q, %q) = %d is out of bounds", a, b, d)
		}
	})
}
