package picture

import "math"

// A ruler places numbers along a drawing, between round ends.
type ruler struct{ from, to, left, right float64 }

func (s ruler) at(v float64) float64 {
	return s.left + (s.right-s.left)*clampTo((v-s.from)/(s.to-s.from), 0, 1)
}

// rulerFor spans the values with some room on both sides.
func rulerFor(left, right float64, values ...float64) ruler {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range values {
		if !open(v) && !math.IsNaN(v) {
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
	}
	if lo > hi {
		lo, hi = 0, 1
	}
	room := 0.18 * (hi - lo)
	if room == 0 {
		room = math.Max(math.Abs(hi)*0.2, 1e-3)
	}
	return ruler{lo - room, hi + room, left, right}
}

// wantedOn hatches the wanted part of a ruler.
func (d *Drawing) wantedOn(s ruler, r Reading, y, h float64) {
	a, b := s.at(math.Max(r.Lo, s.from)), s.at(math.Min(r.Hi, s.to))
	d.box(Goal, a, y, math.Max(0, b-a), h)
	for _, end := range []float64{r.Lo, r.Hi} {
		if !open(end) {
			d.line("goal-edge", point{s.at(end), y - 6}, point{s.at(end), y + h})
		}
	}
}

// timeBar shows a time as a bar from zero against the wanted part.
func timeBar(r Reading) Drawing {
	d := Drawing{W: 300, H: 104}
	s := rulerFor(10, 290, 0, r.Value+r.U, r.Value-r.U, r.Lo, r.Hi)
	if r.Value >= 0 && r.Hi >= 0 && (open(r.Lo) || r.Lo >= 0) {
		s.from = 0
	}
	d.wantedOn(s, r, 34, 36)
	a, b := s.at(0), s.at(r.Value)
	d.box("bar", math.Min(a, b), 44, math.Abs(b-a), 16)
	d.line("seen", point{b, 38}, point{b, 66})
	d.line("spread", point{s.at(r.Value - r.U), 52}, point{s.at(r.Value + r.U), 52})
	d.line("ground", point{s.at(0), 28}, point{s.at(0), 76})
	d.labels(r.Words)
	return d
}

// NumberLine shows any measure as a dot on a line with the wanted part marked.
func NumberLine(r Reading) Drawing {
	d := Drawing{W: 300, H: 92}
	s := rulerFor(10, 290, r.Value-r.U, r.Value+r.U, r.Lo, r.Hi)
	d.wantedOn(s, r, 36, 20)
	d.line("ground", point{10, 56}, point{290, 56})
	if !math.IsNaN(r.Value) {
		x := s.at(r.Value)
		d.line("spread", point{s.at(r.Value - r.U), 46}, point{s.at(r.Value + r.U), 46})
		d.disc("dot", point{x, 46}, 6)
		d.line("seen", point{x, 40}, point{x, 64})
	}
	d.labels(r.Words)
	return d
}

// Ticks shows a yes-no item: one box a rep, ticked where it was right, crossed
// where it was not. The good ones come first.
func Ticks(right, of int, words Words) Drawing {
	d := Drawing{W: 300, H: 86}
	step := math.Min(34, 284/math.Max(1, float64(of)))
	half := step*0.5 - 3
	for i := range of {
		x, y := 8+step*(float64(i)+0.5), 42.0
		if i < right {
			d.line("tick", point{x - half*0.8, y}, point{x - half*0.2, y + half*0.7}, point{x + half*0.9, y - half*0.8})
			continue
		}
		d.path("cross", "M%s %sL%s %sM%s %sL%s %s", x-half*0.7, y-half*0.7, x+half*0.7, y+half*0.7, x-half*0.7, y+half*0.7, x+half*0.7, y-half*0.7)
	}
	d.labels(words)
	return d
}
