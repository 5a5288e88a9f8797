package panel

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// A rank says where a player may stand; 1 is best.
type rank struct {
	mean      float64
	low, high int // 95 % interval
	best      float64
	tier      int
}

// ranks draws every player's true score 4,096 times and counts. entries come by
// score, best first.
func ranks(entries []entry, best int) []rank {
	out := make([]rank, len(entries))
	if slices.ContainsFunc(entries, func(e entry) bool { return math.IsNaN(e.own) }) {
		for i := range out {
			out[i] = rank{mean: float64(i + 1), best: unknown, tier: 1}
		}
		return out
	}
	counts := countRanks(entries)
	for i, c := range counts {
		out[i] = rankOf(c, best)
	}
	for i, t := range tiers(entries) {
		out[i].tier = t
	}
	return out
}

// countRanks counts how often each entry takes each place.
func countRanks(entries []entry) [][]int32 {
	counts := make([][]int32, len(entries))
	for i := range counts {
		counts[i] = make([]int32, len(entries))
	}
	if len(entries) == 0 {
		return counts
	}
	shared := len(entries[0].pull)
	w, z := newNet(len(entries)+shared), normals()
	own, order, common := make([]float64, len(entries)), make([]drawn, len(entries)), make([]float64, shared)
	for i, e := range entries {
		own[i] = open(e)
	}
	for range draws {
		at := w.next()
		for s := range common {
			common[s] = z[at[len(entries)+s]]
		}
		for i, e := range entries {
			order[i] = drawn{e.score + own[i]*z[at[i]] - dot(e.pull, common), i}
		}
		slices.SortFunc(order, drawn.compare)
		for place, d := range order {
			counts[d.entry][place]++
		}
	}
	return counts
}

// A drawn is an entry's true score in one draw; never NaN.
type drawn struct {
	score float64
	entry int
}

// compare puts the higher score first, and level ones in the order of entries.
func (a drawn) compare(b drawn) int {
	switch {
	case a.score > b.score:
		return -1
	case a.score < b.score:
		return 1
	}
	return a.entry - b.entry
}

// open is the standard deviation of an entry's own draw. Where the panel tells
// no player from another all are level, and any order is as likely.
func open(e entry) float64 {
	if e.own == 0 && e.score == 0 {
		return 1
	}
	return math.Sqrt(e.own)
}

// rankOf reads mean, central 95 % and the chance of the best places off a count.
func rankOf(counts []int32, best int) rank {
	var r rank
	below := 0
	for place, c := range counts {
		r.mean += float64(place+1) * float64(c) / draws
		if place < best {
			r.best += float64(c) / draws
		}
		if r.low == 0 && float64(below+int(c)) > 0.025*draws {
			r.low = place + 1
		}
		below += int(c)
		if r.high == 0 && float64(below) >= 0.975*draws {
			r.high = place + 1
		}
	}
	return r
}

// tiers starts a new tier where the next player's chance of being better than
// the tier's first is below 0.05.
func tiers(entries []entry) []int {
	out, first, tier := make([]int, len(entries)), 0, 1
	for i, e := range entries {
		if beats(e, entries[first]) < 0.05 {
			first, tier = i, tier+1
		}
		out[i] = tier
	}
	return out
}

// beats is the chance that a's true score is above b's. What both share through
// their evaluators cancels.
func beats(a, b entry) float64 {
	variance := sq(open(a)) + sq(open(b))
	for i := range a.pull {
		variance += sq(a.pull[i] - b.pull[i])
	}
	gap := a.score - b.score
	if variance == 0 {
		return 0.5 * (1 + float64(cmp.Compare(gap, 0)))
	}
	return distuv.UnitNormal.CDF(gap / math.Sqrt(variance))
}
