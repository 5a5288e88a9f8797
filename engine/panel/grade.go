// Package panel judges the judges of a tryout and stands the players: how far
// the evaluators agree, how strict each one is, what a player's grades would be
// from an average evaluator, and how sure the order is.
//
// Grades are on whatever scale the evaluators used; a yes-no item counts yes as
// 1 and no as 0. Everything here is pure: the same grades give the same answer,
// in whatever order they come.
package panel

import (
	"cmp"
	"slices"
)

// A Grade is one evaluator's look at one player on one item. An evaluator who
// graded a player twice numbers the looks; 0 counts as 1.
type Grade struct {
	Bib       string  `json:"bib"`
	Evaluator string  `json:"evaluator"`
	Item      string  `json:"item"`
	Look      int     `json:"look,omitempty"`
	Value     float64 `json:"grade"`
	YesNo     bool    `json:"yes_no,omitempty"` // Value is 1 for yes and 0 for no
}

// look is the number of the look, from 1.
func (g Grade) look() int { return max(g.Look, 1) }

// byName orders bibs, evaluators and items: whole numbers first and by value,
// so that bib 2 comes before bib 14, then everything else by its letters.
func byName(a, b string) int {
	x, isA := whole(a)
	y, isB := whole(b)
	switch {
	case isA && isB && x != y:
		return cmp.Compare(x, y)
	case isA && !isB:
		return -1
	case isB && !isA:
		return 1
	}
	return cmp.Compare(a, b)
}

// whole reads a whole number of up to 18 digits.
func whole(s string) (n int, ok bool) {
	for _, c := range []byte(s) {
		if c < '0' || c > '9' {
			return 0, false
		}
		n = 10*n + int(c-'0')
	}
	return n, len(s) > 0 && len(s) <= 18
}

// byPlace orders grades by item, player, evaluator and look.
func byPlace(a, b Grade) int {
	return cmp.Or(byName(a.Item, b.Item), byName(a.Bib, b.Bib),
		byName(a.Evaluator, b.Evaluator), cmp.Compare(a.look(), b.look()))
}

// names returns the distinct values of one field, in order.
func names(grades []Grade, field func(Grade) string) []string {
	seen := map[string]bool{}
	var out []string
	for _, g := range grades {
		if n := field(g); !seen[n] {
			seen[n] = true
			out = append(out, n)
		}
	}
	slices.SortFunc(out, byName)
	return out
}

func bibOf(g Grade) string       { return g.Bib }
func evaluatorOf(g Grade) string { return g.Evaluator }
func itemOf(g Grade) string      { return g.Item }
