package panel

import "slices"

// A table holds the looks at one item: who was seen by whom, and the grade.
type table struct {
	item       string
	yesNo      bool
	players    []string // those graded on this item, in order
	evaluators []string
	looks      []look // by player, then evaluator, then number
}

// A look is one grade, with player and evaluator by their index in the table.
type look struct {
	player, evaluator, number int
	grade                     float64
}

// tables splits the grades by item, items in order.
func tables(grades []Grade) []table {
	sorted := slices.SortedFunc(slices.Values(grades), byPlace)
	var out []table
	for len(sorted) > 0 {
		n := slices.IndexFunc(sorted, func(g Grade) bool { return g.Item != sorted[0].Item })
		if n < 0 {
			n = len(sorted)
		}
		out = append(out, newTable(sorted[:n]))
		sorted = sorted[n:]
	}
	return out
}

// newTable takes the grades of one item, sorted.
func newTable(grades []Grade) table {
	t := table{
		item:       grades[0].Item,
		yesNo:      grades[0].YesNo,
		players:    names(grades, bibOf),
		evaluators: names(grades, evaluatorOf),
	}
	player, evaluator := index(t.players), index(t.evaluators)
	for _, g := range grades {
		t.looks = append(t.looks, look{player[g.Bib], evaluator[g.Evaluator], g.look(), g.Value})
	}
	return t
}

// index maps each name to its place.
func index(names []string) map[string]int {
	at := make(map[string]int, len(names))
	for i, n := range names {
		at[n] = i
	}
	return at
}

// first is the table with each evaluator's first look at each player alone: a
// second look tells of the evaluator's own scatter, not of the panel's.
func (t table) first() table {
	out := t
	out.looks = nil
	for i, l := range t.looks {
		if i == 0 || l.player != t.looks[i-1].player || l.evaluator != t.looks[i-1].evaluator {
			out.looks = append(out.looks, l)
		}
	}
	return out
}

// without leaves one evaluator's looks out; players only that evaluator saw go too.
func (t table) without(evaluator string) table {
	out := table{item: t.item, yesNo: t.yesNo}
	player, evaluators := make([]int, len(t.players)), make([]int, len(t.evaluators))
	for e, name := range t.evaluators {
		evaluators[e] = len(out.evaluators)
		if name != evaluator {
			out.evaluators = append(out.evaluators, name)
		}
	}
	last := -1
	for _, l := range t.looks {
		if t.evaluators[l.evaluator] == evaluator {
			continue
		}
		if l.player != last {
			last, player[l.player] = l.player, len(out.players)
			out.players = append(out.players, t.players[l.player])
		}
		out.looks = append(out.looks, look{player[l.player], evaluators[l.evaluator], l.number, l.grade})
	}
	return out
}

// byPlayer lists the looks of each player.
func (t table) byPlayer() [][]look {
	out := make([][]look, len(t.players))
	for i := 0; i < len(t.looks); {
		p, from := t.looks[i].player, i
		for i < len(t.looks) && t.looks[i].player == p {
			i++
		}
		out[p] = t.looks[from:i]
	}
	return out
}

// A row is who looked at a player: evaluators in order, each with a weight, the
// number of looks or their share.
type row []seen

type seen struct {
	evaluator int
	weight    float64
}

// rows counts the looks of each player by evaluator.
func (t table) rows() []row {
	out := make([]row, len(t.players))
	for _, l := range t.looks {
		r := out[l.player]
		at := len(r)
		for at > 0 && r[at-1].evaluator >= l.evaluator {
			at--
		}
		if at == len(r) || r[at].evaluator != l.evaluator {
			r = slices.Insert(r, at, seen{evaluator: l.evaluator})
		}
		r[at].weight++
		out[l.player] = r
	}
	return out
}

// weight is the row's sum.
func (r row) weight() float64 {
	sum := 0.0
	for _, x := range r {
		sum += x.weight
	}
	return sum
}

// dot is the row times a vector over the evaluators.
func (r row) dot(v []float64) float64 {
	sum := 0.0
	for _, x := range r {
		sum += x.weight * v[x.evaluator]
	}
	return sum
}

// form is the quadratic form rᵀar.
func (r row) form(a [][]float64) float64 {
	sum := 0.0
	for _, x := range r {
		sum += x.weight * r.dot(a[x.evaluator])
	}
	return sum
}

// grid returns the grades as rows of players and columns of evaluators, when
// every evaluator graded every player exactly once.
func (t table) grid() ([][]float64, bool) {
	k := len(t.evaluators)
	if len(t.looks) != len(t.players)*k {
		return nil, false
	}
	rows := make([][]float64, len(t.players))
	for i, l := range t.looks {
		if l.player != i/k || l.evaluator != i%k {
			return nil, false
		}
		rows[l.player] = append(rows[l.player], l.grade)
	}
	return rows, true
}
