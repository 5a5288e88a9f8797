package picture

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// texts are the texts of a class.
func textsOf(d Drawing, class string) (list []string) {
	for _, s := range shapes(d, class) {
		list = append(list, s.Text)
	}
	return list
}

// TestSpansToScale: bars and marks lie where a linear scale puts them, ticks
// above them too.
func TestSpansToScale(t *testing.T) {
	d := Spans([]Span{{"36", 2, 3.3, 7}, {"25", 1, 1.1, 2}}, Places(12))
	grid := map[string]float64{}
	for i, s := range shapes(d, "grid") {
		grid[textsOf(d, "tick-label")[i]] = numbers(s.D)[0]
	}
	one, twelve := grid["1"], grid["12"]
	at := func(place float64) float64 { return one + (place-1)/11*(twelve-one) }
	for i, want := range [][3]float64{{2, 3.3, 7}, {1, 1.1, 2}} {
		bar, mark := numbers(shapes(d, "span")[i].D), shapes(d, "dot")[i]
		for k, got := range []float64{bar[0], mark.X, bar[2]} {
			if math.Abs(got-at(want[k])) > 0.11 {
				t.Errorf("row %d: %v is drawn at %.2f, wanted %.2f", i, want[k], got, at(want[k]))
			}
		}
		if bar[1] != bar[3] || math.Abs(bar[1]-mark.Y) > 0.06 {
			t.Errorf("row %d: the mark at %v lies off its bar at %v", i, mark.Y, bar[1])
		}
	}
	if got := textsOf(d, "label"); !slices.Equal(got, []string{"36", "25"}) {
		t.Errorf("labels %q", got)
	}
}

func TestPlaces(t *testing.T) {
	for n, want := range map[int][]float64{
		0: {1}, 1: {1}, 2: {1, 2}, 7: {1, 2, 3, 4, 5, 6, 7}, 12: {1, 2, 4, 6, 8, 10, 12},
		60: {1, 10, 20, 30, 40, 50, 60}, 61: {1, 10, 20, 30, 40, 50, 61}, 300: {1, 50, 100, 150, 200, 250, 300},
	} {
		if got := Places(n).Ticks; !slices.Equal(got, want) {
			t.Errorf("%d places have ticks at %v, wanted %v", n, got, want)
		}
	}
}

// TestAbout0: as far to one side as to the other, five ticks of one digit.
func TestAbout0(t *testing.T) {
	for most, step := range map[float64]float64{0.9: 0.4, 0.31: 0.1, 1: 0.5, 2.5: 1, 37: 10, 0: 0.5} {
		s := About0(most, -most/3, math.NaN(), math.Inf(1))
		if s.From != -s.To || s.To < most || math.Abs(s.Ticks[3]-step) > 1e-12 || s.Ticks[2] != 0 || len(s.Ticks) != 5 {
			t.Errorf("%v: %+v, wanted a tick at %v", most, s, step)
		}
	}
	d := Spans([]Span{{"E1", 0.1, 0.3, 0.5}}, About0(0.9))
	if got := textsOf(d, "tick-label"); !slices.Equal(got, []string{"−0.8", "−0.4", "0", "+0.4", "+0.8"}) {
		t.Errorf("ticks %q", got)
	}
	if len(shapes(d, "zero")) != 1 {
		t.Error("0 has no line of its own")
	}
}

// TestSpansWithoutIntervals: no bar where none is known, and a hollow mark.
func TestSpansWithoutIntervals(t *testing.T) {
	nan := math.NaN()
	d := Spans([]Span{{"1", nan, 2, nan}, {"2", nan, nan, nan}}, Places(4))
	if len(shapes(d, "span")) != 0 || len(shapes(d, "dot hollow")) != 1 {
		t.Errorf("%d bars, %d hollow marks", len(shapes(d, "span")), len(shapes(d, "dot hollow")))
	}
}

// TestSpansStayInside: whatever the rows, nothing leaves the drawing, no
// coordinate is lost, and labels are cut to their column.
func TestSpansStayInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.OneOf(rapid.Float64Range(-1e6, 1e6), rapid.SampledFrom([]float64{math.NaN(), 0, 1e-9}))
		var rows []Span
		var all []float64
		for range rapid.IntRange(0, 30).Draw(t, "rows") {
			r := Span{rapid.StringN(1, 40, -1).Draw(t, "label"), value.Draw(t, "low"), value.Draw(t, "mid"), value.Draw(t, "high")}
			rows, all = append(rows, r), append(all, r.Low, r.Mid, r.High)
		}
		scale := rapid.SampledFrom([]Scale{Places(len(rows)), About0(all...)}).Draw(t, "scale")
		d := Spans(rows, scale)
		for _, s := range d.Shapes {
			if strings.ContainsAny(s.D, "NI") {
				t.Fatalf("%s: %s", s.Class, s.D)
			}
			if s.X-s.R < 0 || s.X+s.R > d.W || s.Y-s.R < 0 || s.Y+s.R > d.H {
				t.Fatalf("%s at %v, %v leaves %v by %v", s.Class, s.X, s.Y, d.W, d.H)
			}
			for i, n := range numbers(s.D) {
				if n < 0 || n > []float64{d.W, d.H}[i%2] {
					t.Fatalf("%s leaves the drawing: %s", s.Class, s.D)
				}
			}
			if s.Class == "label" && len([]rune(s.Text)) > longestLabel {
				t.Fatalf("the label %q is too long", s.Text)
			}
		}
		if got := len(shapes(d, "label")); got != len(rows) {
			t.Fatalf("%d labels for %d rows", got, len(rows))
		}
	})
}
