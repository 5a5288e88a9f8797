package picture

import (
	"math"
	"strconv"
)

// A Span is one row of a chart of intervals: a mark at Mid on a bar from Low to
// High. NaN ends: no interval is known, and the mark stays hollow.
type Span struct {
	Label          string
	Low, Mid, High float64
}

// A Scale is what the rows of a chart are drawn against.
type Scale struct {
	From, To float64
	Ticks    []float64
	Signed   bool // ticks carry their sign, and 0 has a line of its own
}

// Places is the scale of the places 1 to n.
func Places(n int) Scale {
	s := Scale{From: 0.5, To: float64(max(n, 1)) + 0.5, Ticks: []float64{1}}
	step := nextRound(float64(n) / 7)
	for t := step; t < float64(n)-step/2; t += step {
		if t > 1 {
			s.Ticks = append(s.Ticks, t)
		}
	}
	if n > 1 {
		s.Ticks = append(s.Ticks, float64(n))
	}
	return s
}

// About0 is a scale that reaches as far below 0 as above, with all values on it.
func About0(values ...float64) Scale {
	most := 0.0
	for _, v := range values {
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			most = math.Max(most, math.Abs(v))
		}
	}
	if most == 0 {
		most = 1
	}
	power := math.Pow(10, math.Floor(math.Log10(most/2)))
	step := math.Floor(most/2/power) * power // one digit, so that the ticks are short
	s := Scale{From: -1.1 * most, To: 1.1 * most, Signed: true}
	for i := -2.0; i <= 2; i++ {
		s.Ticks = append(s.Ticks, i*step)
	}
	return s
}

// nextRound is the least of 1, 2, 5, 10, 20, 50 … that is not below x.
func nextRound(x float64) float64 {
	for step := 1.0; ; step *= 10 {
		for _, f := range []float64{1, 2, 5} {
			if step*f >= x || step > 1e9 {
				return step * f
			}
		}
	}
}

// Sizes of a chart of intervals, in user units.
const (
	spansWide, spanHigh = 360, 22
	axisHigh            = 24
	letterWide          = 7.6 // of the labels, at most
	longestLabel        = 12  // characters
)

// Spans draws intervals below one another on one scale.
func Spans(rows []Span, s Scale) Drawing {
	labels := 1
	for _, r := range rows {
		labels = max(labels, len([]rune(short(r.Label))))
	}
	d := Drawing{W: spansWide, H: axisHigh + spanHigh*float64(len(rows)) + 6}
	left := 8 + letterWide*float64(labels)
	at := ruler{s.From, s.To, left + 10, spansWide - 12}
	bottom := d.H - 4
	for _, t := range s.Ticks {
		class := "grid"
		if s.Signed && t == 0 {
			class = "zero"
		}
		d.line(class, point{at.at(t), axisHigh - 4}, point{at.at(t), bottom})
		d.textMid("tick-label", at.at(t), 14, s.tick(t))
	}
	for i, r := range rows {
		y := axisHigh + spanHigh*(float64(i)+0.5)
		d.textEnd("label", left, y+4.5, short(r.Label))
		class := "dot hollow"
		if !math.IsNaN(r.Low) && !math.IsNaN(r.High) {
			d.line("span", point{at.at(r.Low), y}, point{at.at(r.High), y})
			class = "dot"
		}
		if !math.IsNaN(r.Mid) {
			d.disc(class, point{at.at(r.Mid), y}, 5)
		}
	}
	return d
}

// tick writes a tick's number.
func (s Scale) tick(t float64) string {
	text := strconv.FormatFloat(math.Abs(t), 'g', 3, 64)
	switch {
	case t < 0:
		return "−" + text
	case t > 0 && s.Signed:
		return "+" + text
	}
	return text
}

// short keeps a label inside its column; the table beside a chart has it whole.
func short(label string) string {
	if r := []rune(label); len(r) > longestLabel {
		return string(r[:longestLabel-1]) + "…"
	}
	return label
}
