package unit

import (
	"strings"
	"testing"
)

func TestParseQuantity(t *testing.T) {
	for _, c := range []struct {
		text  string
		value float64
		unit  string
	}{
		{"60mph", 60, "mph"}, {"98.99 ft", 98.99, "ft"}, {" 1.26s ", 1.26, "s"}, {"35ms", 35, "ms"}, {"0.145kg", 0.145, "kg"}, {"5m", 5, "m"},
		{"26.8m/s", 26.8, "m/s"}, {"100 km/h", 100, "km/h"}, {"12mm", 12, "mm"}, {"-3.5deg", -3.5, "deg"}, {"1e2cm", 100, "cm"}, {"+7 in", 7, "in"}, {"0.002s/deg", 0.002, "s/deg"}, {"3rad", 3, "rad"},
	} {
		v, u, err := ParseQuantity(c.text)
		if err != nil || v != c.value || u.Name != c.unit {
			t.Errorf("%q is %v %s, %v; wanted %v %s", c.text, v, u.Name, err, c.value, c.unit)
		}
	}
}

// TestParseQuantityRefuses: the message repeats what was found and shows the
// form.
func TestParseQuantityRefuses(t *testing.T) {
	for text, says := range map[string]string{
		"": "no unit", "60": "no unit", "60 furlongs": `"60 furlong" is no number`, "mph": `"" is no number`, "6O mph": `"6O" is no number`,
		"NaN s": `"NaN" is no number`, "Inf m": `"Inf" is no number`, "1e999 s": `"1e999" is no number`, "3,5 s": `"3,5" is no number`, "1.5 stature": "no unit", "60 MPH": "no unit",
	} {
		_, _, err := ParseQuantity(text)
		if err == nil || !strings.Contains(err.Error(), says) || !strings.Contains(err.Error(), "such as 60mph") {
			t.Errorf("%q: %v; wanted an error with %q", text, err, says)
		}
	}
}

func FuzzParseQuantity(f *testing.F) {
	for _, seed := range []string{"60mph", "1 s", "ms", "", "1e309ft"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		v, u, err := ParseQuantity(text)
		if (err == nil) != (u.Name != "") || v-v != 0 {
			t.Errorf("%q gives %v %q, %v", text, v, u.Name, err)
		}
	})
}
