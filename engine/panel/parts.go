package panel

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// A Part is a group of evaluators and players with no look to or from outside.
type Part struct {
	Evaluators []string `json:"evaluators"`
	Players    []string `json:"players"`
}

// A Split is an item whose panel falls apart: between its parts no strictness
// can be compared, so there is no common standing.
type Split struct {
	Item  string `json:"item"`
	Parts []Part `json:"parts"`
	Joins []Look `json:"joins"` // the fewest looks that join the parts
}

// A Look is one to be taken: this player by this evaluator.
type Look struct {
	Bib       string `json:"bib"`
	Evaluator string `json:"evaluator"`
	Item      string `json:"item"`
	Says      string `json:"says"`
}

// Says names the parts and what would join them.
func (s Split) Says() string {
	var parts, joins []string
	for _, p := range s.Parts {
		parts = append(parts, fmt.Sprintf("%s with players %s", list(p.Evaluators), list(p.Players)))
	}
	for _, j := range s.Joins {
		joins = append(joins, fmt.Sprintf("%s grades player %s", j.Evaluator, j.Bib))
	}
	says := fmt.Sprintf("%s: no player was seen by both groups of evaluators (%s), so their strictness cannot be compared", s.Item, strings.Join(parts, "; "))
	if len(joins) == 0 {
		return says + "; every look that would join them is barred"
	}
	return says + "; joined when " + strings.Join(joins, " and ")
}

// split finds the connected parts of a table; ok when it is all one. The
// largest part comes first, then by name. Each look joins at most two parts, so
// parts − 1 are the fewest; each goes from the largest part's least busy
// evaluator to a player of another part. Where all of those are barred, one of
// the other part's evaluators sees a player of the largest; where these are
// barred too, there is no look to name.
func split(t table, barred Barred) (s Split, ok bool) {
	parts := parts(t)
	if len(parts) <= 1 {
		return Split{}, true
	}
	grades := make([]int, len(t.evaluators))
	for _, l := range t.looks {
		grades[l.evaluator]++
	}
	s.Item = t.item
	for _, p := range parts {
		s.Parts = append(s.Parts, p.named(t))
	}
	for _, p := range parts[1:] {
		e, player, found := joins(t, parts[0].evaluators, p.players, grades, barred)
		if !found {
			e, player, found = joins(t, p.evaluators, parts[0].players, grades, barred)
		}
		if !found {
			continue
		}
		grades[e]++
		s.Joins = append(s.Joins, Look{
			Bib: t.players[player], Evaluator: t.evaluators[e], Item: t.item,
			Says: fmt.Sprintf("joins %s to the rest of the panel", list(p.named(t).Evaluators)),
		})
	}
	return s, false
}

// joins finds the least busy of the evaluators who may see one of the players.
func joins(t table, evaluators, players, grades []int, barred Barred) (e, player int, found bool) {
	for _, i := range evaluators {
		if found && grades[i] >= grades[e] {
			continue
		}
		for _, p := range players {
			if !barred.at(t, i, p) {
				e, player, found = i, p, true
				break
			}
		}
	}
	return e, player, found
}

// part holds evaluators and players by their index.
type part struct{ evaluators, players []int }

func (p part) named(t table) Part {
	var out Part
	for _, e := range p.evaluators {
		out.Evaluators = append(out.Evaluators, t.evaluators[e])
	}
	for _, i := range p.players {
		out.Players = append(out.Players, t.players[i])
	}
	return out
}

// parts groups evaluators that are linked by players, with union–find over the
// evaluators.
func parts(t table) []part {
	root := make([]int, len(t.evaluators))
	for e := range root {
		root[e] = e
	}
	find := func(e int) int {
		for root[e] != e {
			root[e] = root[root[e]]
			e = root[e]
		}
		return e
	}
	first := make([]int, len(t.players)) // the first evaluator who saw the player
	for i, l := range t.looks {
		if i == 0 || t.looks[i-1].player != l.player {
			first[l.player] = l.evaluator
		}
		a, b := find(first[l.player]), find(l.evaluator)
		root[max(a, b)] = min(a, b)
	}
	at, out := map[int]int{}, []part{}
	for e := range root {
		r := find(e)
		if _, ok := at[r]; !ok {
			at[r] = len(out)
			out = append(out, part{})
		}
		out[at[r]].evaluators = append(out[at[r]].evaluators, e)
	}
	for p, e := range first {
		to := &out[at[find(e)]]
		to.players = append(to.players, p)
	}
	slices.SortStableFunc(out, func(a, b part) int { return cmp.Compare(len(b.players), len(a.players)) })
	return out
}

// list writes names as "a, b and c"; long lists are cut with their count.
func list(names []string) string {
	const most = 6
	if n := len(names); n > most {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most-1], ", "), n-most+1)
	}
	if n := len(names); n > 1 {
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
	return strings.Join(names, "")
}
