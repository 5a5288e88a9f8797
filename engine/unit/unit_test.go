package unit

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func near(got, want float64) bool { return math.Abs(got-want) <= 1e-12*math.Max(1, math.Abs(want)) }

// TestFactors: NIST SP 811 (2008) appendix B: foot 0.3048 m, inch 0.0254 m, mile
// an hour 0.44704 m/s, kilometre an hour 0.2777778 m/s, degree 0.01745329 rad
// (the last two rounded there, exact here).
func TestFactors(t *testing.T) {
	for name, si := range map[string]float64{
		"kg": 1, "s": 1, "ms": 1e-3, "m": 1, "cm": 0.01, "mm": 0.001, "ft": 0.3048, "in": 0.0254, "mph": 0.44704,
		"km/h": 1000.0 / 3600, "m/s": 1, "deg": math.Pi / 180, "rad": 1, "stature": 1, "1": 1, "s/deg": 1,
	} {
		if got := Must(name).ToSI(1); !near(got, si) {
			t.Errorf("1 %s is %v in SI, wanted %v", name, got, si)
		}
		if got := Must(name).FromSI(si); !near(got, 1) {
			t.Errorf("%v in SI is %v %s, wanted 1", si, got, name)
		}
	}
}

func TestConvert(t *testing.T) {
	for _, c := range []struct {
		v        float64
		from, to string
		want     float64
	}{
		{60, "mph", "m/s", 26.8224}, {26.8224, "m/s", "mph", 60}, {100, "km/h", "mph", 62.137119223733}, {80, "ft", "m", 24.384}, {12, "in", "ft", 1},
		{1, "ft", "cm", 30.48}, {1, "m", "mm", 1000}, {1500, "ms", "s", 1.5}, {180, "deg", "rad", math.Pi}, {61, "cm", "stature", 61 / 163.0},
		{0.5, "stature", "cm", 81.5}, {2, "ft", "stature", 0.6096 / 1.63}, {0.5, "stature", "ft", 0.815 / 0.3048}, {3, "kg", "kg", 3},
	} {
		if got := Must(c.from).Convert(c.v, Must(c.to), 1.63); !near(got, c.want) {
			t.Errorf("%v %s is %v %s, wanted %v", c.v, c.from, got, c.to, c.want)
		}
	}
}

// TestEveryPair: units match within a dimension, and lengths match shares of
// stature; whatever matches converts there and back.
func TestEveryPair(t *testing.T) {
	for _, a := range Names() {
		for _, b := range Names() {
			from, to := Must(a), Must(b)
			through := from.Dim == Length && to.Dim == Share || from.Dim == Share && to.Dim == Length
			if from.NeedsStature(to) != through {
				t.Errorf("%s to %s takes the stature: %t", a, b, !through)
			}
			if want := from.Dim == to.Dim || through; from.Matches(to) != want {
				t.Errorf("%s matches %s: %t", a, b, !want)
			} else if back := to.Convert(from.Convert(7, to, 1.5), from, 1.5); want && !near(back, 7) {
				t.Errorf("7 %s to %s and back is %v", a, b, back)
			}
		}
	}
}

// TestDimensions: each dimension has the units that belong to it.
func TestDimensions(t *testing.T) {
	by := map[Dimension]string{}
	for _, name := range Names() {
		by[Must(name).Dim] += name + " "
	}
	want := map[Dimension]string{Mass: "kg ", Time: "s ms ", Length: "m cm mm ft in ", Speed: "mph km/h m/s ", Angle: "deg rad ", Share: "stature ", Ratio: "1 ", Rate: "s/deg "}
	if fmt.Sprint(by) != fmt.Sprint(want) {
		t.Errorf("dimensions %v, wanted %v", by, want)
	}
}

// TestConversionsAreLinear, so that an uncertainty converts like its value.
func TestConversionsAreLinear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := rapid.SampledFrom(all).Draw(t, "from")
		to := rapid.SampledFrom(all).Filter(from.Matches).Draw(t, "to")
		v, k := rapid.Float64Range(-100, 100).Draw(t, "v"), rapid.Float64Range(0.1, 10).Draw(t, "k")
		if a, b := from.Convert(k*v, to, 1.4), k*from.Convert(v, to, 1.4); math.Abs(a-b) > 1e-9*(1+math.Abs(b)) {
			t.Fatalf("%v times %v %s is %v and %v %s", k, v, from.Name, a, b, to.Name)
		}
		if x := from.FromFormulas(from.InFormulas(v)); math.Abs(x-v) > 1e-9 {
			t.Fatalf("%v %s comes back from formulas as %v", v, from.Name, x)
		}
	})
}

// TestInFormulas: SI, but angles in degrees.
func TestInFormulas(t *testing.T) {
	for _, c := range []struct {
		v    float64
		unit string
		want float64
	}{{17, "deg", 17}, {math.Pi, "rad", 180}, {50, "cm", 0.5}, {60, "mph", 26.8224}, {250, "ms", 0.25}, {0.3, "stature", 0.3}, {2, "1", 2}, {0.002, "s/deg", 0.002}} {
		if got := Must(c.unit).InFormulas(c.v); !near(got, c.want) {
			t.Errorf("formulas see %v %s as %v, wanted %v", c.v, c.unit, got, c.want)
		}
	}
}

func TestMustPanics(t *testing.T) {
	if _, ok := Parse("furlong"); ok {
		t.Error("a furlong was accepted")
	}
	defer func() {
		if recover() == nil {
			t.Error("no panic for a unit the program does not have")
		}
	}()
	Must("furlong")
}
