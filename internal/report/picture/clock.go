package picture

import "strconv"

// Exchange draws the time from catch to release as one bar: the goal first,
// then each part of the time lost, numbered from 1 in the order given, and what
// is left over dotted. goal and seen are the labels of the bar's two ends.
func Exchange(reference float64, parts []float64, exchange float64, goal, seen string) Drawing {
	d := Drawing{W: 600, H: 84}
	total := reference
	for _, p := range parts {
		total += p
	}
	s := ruler{0, max(total, exchange) * 1.02, 4, 596}
	d.box("bar", s.at(0), 30, s.at(min(reference, exchange))-s.at(0), 26)
	at := reference
	for i, p := range parts {
		from, to := s.at(at), s.at(at+p)
		d.box("part", from, 30, to-from, 26)
		d.textMid("label minor", (from+to)/2, 72, strconv.Itoa(i+1))
		at += p
	}
	if exchange > at {
		d.box("left-over", s.at(at), 30, s.at(exchange)-s.at(at), 26)
	}
	d.line("goal-edge", point{s.at(reference), 22}, point{s.at(reference), 64})
	d.line("seen", point{s.at(exchange), 22}, point{s.at(exchange), 64})
	d.text("label", 4, 16, goal)
	d.textEnd("label seen-label", 596, 16, seen)
	return d
}
