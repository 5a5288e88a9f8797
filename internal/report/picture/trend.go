package picture

import "math"

// A Dot is one session on a trend line.
type Dot struct{ Value, U float64 }

// Trend draws a small line through sessions in order, with the uncertainty of
// each and the wanted part hatched.
func Trend(dots []Dot, lo, hi float64) Drawing {
	d := Drawing{W: 120, H: 44}
	ends := []float64{lo, hi}
	for _, p := range dots {
		ends = append(ends, p.Value-p.U, p.Value+p.U)
	}
	s := rulerFor(40, 4, ends...)
	top, bottom := s.at(math.Min(hi, s.to)), s.at(math.Max(lo, s.from))
	if !open(lo) || !open(hi) {
		d.box(Goal, 2, top, 116, math.Max(0, bottom-top))
	}
	var way []point
	for i, p := range dots {
		x := 60.0
		if len(dots) > 1 {
			x = 10 + 100*float64(i)/float64(len(dots)-1)
		}
		way = append(way, point{x, s.at(p.Value)})
		d.line("spread", point{x, s.at(p.Value - p.U)}, point{x, s.at(p.Value + p.U)})
	}
	d.line("trend", way...)
	for i, p := range way {
		class := "joint"
		if i == len(way)-1 {
			class = "dot"
		}
		d.disc(class, p, 3.2)
	}
	return d
}
