package measure_test

import (
	"math"
	"strings"
	"testing"

	"rootcue/engine/body"
	"rootcue/engine/quantity"
)

// TestFormulaChain: uncertainty goes from the base inputs through the whole
// chain, by central differences (JCGM 100 5.1.3 note 2): for square = (h/2)²
// that is [((h+u)/2)² − ((h−u)/2)²]/2 = h·u/2.
func TestFormulaChain(t *testing.T) {
	s := read(t, `"height": {"value": 0.4, "u": 0.03}`)
	half, square := mean(s, "half").Value, mean(s, "square").Value
	within(t, "half", half.X, 0.2)
	within(t, "u(half)", half.U(), 0.015)
	within(t, "square", square.X, 0.04)
	within(t, "u(square)", square.U(), 0.4*0.03/2)
	// Both rest on the height alone: they are fully correlated.
	within(t, "correlation", quantity.Covariance(half, square), half.U()*square.U())
	if from := mean(s, "square").From; from != "formula" {
		t.Errorf("from %q", from)
	}
}

// TestFormulaSharesStature: a stature from the table cancels in the ratio of two
// lengths in cm, since it is the same for both.
func TestFormulaSharesStature(t *testing.T) {
	s := readDocument(t, document(`"age": 12`, "", `"measures": {"height": {"value": 60, "u": 0, "unit": "cm"}, "depth": {"value": 30, "u": 0, "unit": "cm"}}`))
	within(t, "ratio", mean(s, "ratio").Value.X, 2)
	if u := mean(s, "ratio").Value.U(); u > 1e-12 {
		t.Errorf("u(ratio) is %v", u)
	}
	if u := mean(s, "height").Value.U(); u < 0.01 {
		t.Errorf("u(height) is %v", u)
	}
}

// TestFormulaReadsConstants: way = height·stature/hand_speed in ms has parts of
// the reading, the constant and the stature of the table.
func TestFormulaReadsConstants(t *testing.T) {
	h, uh, _ := body.Stature(12)
	f := func(height, stature, speed float64) float64 { return 1000 * height * stature / speed }
	z := func(up, down float64) float64 { return (up - down) / 2 }
	want := math.Sqrt(math.Pow(z(f(0.42, h, 2), f(0.38, h, 2)), 2) + math.Pow(z(f(0.4, h+uh, 2), f(0.4, h-uh, 2)), 2) + math.Pow(z(f(0.4, h, 2.5), f(0.4, h, 1.5)), 2))
	rep := `"measures": {"height": 0.4}`
	for _, reps := range [][]string{{rep}, {rep, rep, rep}} { // all of it shared
		way := mean(readDocument(t, document(`"age": 12`, "", reps...)), "way").Value
		within(t, "way", way.X, f(0.4, h, 2))
		within(t, "u(way)", way.U(), want)
	}
	stated := mean(read(t, `"height": 0.4`), "way").Value // a stated stature is certain
	within(t, "u(way), stature stated", stated.U(), math.Hypot(f(0.02, 1.5, 2), z(f(0.4, 1.5, 2.5), f(0.4, 1.5, 1.5))))
}

// TestFormulaIsAveragedAfter: a formula is worked out in each rep, then averaged.
func TestFormulaIsAveragedAfter(t *testing.T) {
	s := read(t, `"height": {"value": 0.2, "u": 0}`, `"height": {"value": 0.6, "u": 0}`)
	within(t, "square", mean(s, "square").Value.X, (0.01+0.09)/2)
}

// TestStatedBeatsFormula: a stated value of a derived measure stands, and those
// that read it take it.
func TestStatedBeatsFormula(t *testing.T) {
	s := read(t, `"height": 0.4, "half": {"value": 0.3, "u": 0.01}`)
	if m := mean(s, "half"); m.From != "measures" || m.Value.X != 0.3 {
		t.Errorf("%+v", m)
	}
	square := mean(s, "square").Value
	within(t, "square", square.X, 0.09)
	within(t, "u(square)", square.U(), 2*0.3*0.01)
}

// TestFormulaNotSeen: it takes all that it reads.
func TestFormulaNotSeen(t *testing.T) {
	s := read(t, `"height": 0.4`)
	if m := mean(s, "ratio"); m.Reps != 0 {
		t.Errorf("%+v", m)
	}
}

// TestFormulaNotFinite: a division by zero is told with the measure, the
// expression and what it read, and the whole document is refused.
func TestFormulaNotFinite(t *testing.T) {
	s, problems := tryRead(t, parse(t, small), document(`"age": 12`, "", `"measures": {"height": 0.4}`, `"measures": {"height": 0.4, "depth": 0}`))
	if s != nil || len(problems) != 1 || problems[0].Code != "not-finite" || problems[0].Pointer != "/reps/1" {
		t.Fatalf("%+v", problems)
	}
	for _, part := range []string{"the measure ratio", "height / depth", "height = 0.4", "depth = 0"} {
		if !strings.Contains(problems[0].Found, part) {
			t.Errorf("%q is not in %q", part, problems[0].Found)
		}
	}
}

// TestOneSidedSensitivity: where depth − u would be 0 the ratio is no number
// there, so the difference to the other side counts.
func TestOneSidedSensitivity(t *testing.T) {
	ratio := mean(read(t, `"height": {"value": 0.4, "u": 0}, "depth": {"value": 0.25, "u": 0.25}`), "ratio").Value
	within(t, "ratio", ratio.X, 1.6)
	within(t, "u(ratio)", ratio.U(), 1.6-0.4/0.5)
}
