package workload

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// A Count is how many pitches, throws or innings an entry records. The zero
// Count is unknown, which is never taken for zero.
type Count struct {
	parts int // in 1/3000, so that thirds and three decimals of an inning add up exactly
	known bool
}

const part = 3000

// Of is the known count v, at least 0, to a third or to three decimals.
func Of(v float64) Count { return Count{int(math.Round(v * part)), true} }

// Value is the count as a number; known is false when it was left empty.
func (c Count) Value() (v float64, known bool) { return float64(c.parts) / part, c.known }

// String writes the count, innings in thirds; an unknown count is empty.
func (c Count) String() string {
	if !c.known {
		return ""
	}
	return text(c.parts)
}

// text writes parts: 24 as "24", one and a third as "1 1/3", else decimals.
func text(parts int) string {
	whole, rest := parts/part, parts%part
	switch {
	case rest == 0:
		return strconv.Itoa(whole)
	case rest%(part/3) == 0:
		return strings.TrimPrefix(strconv.Itoa(whole)+" "+strconv.Itoa(rest/(part/3))+"/3", "0 ")
	}
	return strconv.FormatFloat(float64(parts)/part, 'f', -1, 64)
}

// thirds is an inning count written as a fraction: 2/3 or 4 1/3.
var thirds = regexp.MustCompile(`^(?:([0-9]{1,3})[ +])?([0-9])/([23])$`)

// readCount reads the text of a count of that kind. Innings may be written as
// fractions; 4.1 and 4.2 are four innings and one or two outs, as in a box
// score, .33 and .67 are thirds, and any other decimal is taken as written.
func readCount(k Kind, s string) (c Count, wanted string) {
	if k.innings() && strings.Contains(s, "/") {
		if m := thirds.FindStringSubmatch(s); m != nil {
			whole, _ := strconv.Atoi(m[1]) // no digits: none
			over, under := float64(m[2][0]-'0'), float64(m[3][0]-'0')
			return Of(float64(whole) + over/under), ""
		}
	}
	v, err := strconv.ParseFloat(s, 64)
	switch {
	case err != nil || !(v >= 0 && v <= k.most()):
		return Count{}, k.wants()
	case k.innings():
		return Of(outs(v)), ""
	case v != math.Trunc(v):
		return Count{}, k.wants()
	}
	return Of(v), ""
}

// wants says what a count of that kind may be.
func (k Kind) wants() string {
	if k.innings() {
		return "innings from 0 to 99, as 4, 4.1 (one out into the fifth), 4 1/3 or 4.5"
	}
	return "a whole number of " + k.unit() + " from 0 to " + strconv.Itoa(int(k.most()))
}

// outs reads the figure behind the point as box scores write it.
func outs(innings float64) float64 {
	whole, rest := math.Modf(innings)
	switch {
	case math.Abs(rest-0.1) < 1e-6, math.Abs(rest-1./3) < 0.004:
		return whole + 1./3
	case math.Abs(rest-0.2) < 1e-6, math.Abs(rest-2./3) < 0.004:
		return whole + 2./3
	}
	return innings
}
