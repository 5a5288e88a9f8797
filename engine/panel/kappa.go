package panel

// Kappa is Cohen's κ (1960) of a square table of counts: row = what the first
// evaluator said, column = the second. Counts may be shares. NaN where chance
// alone would agree always.
func Kappa(counts [][]float64) float64 {
	n := len(counts)
	rows, columns, all, same := make([]float64, n), make([]float64, n), 0.0, 0.0
	for i, row := range counts {
		for j, c := range row {
			rows[i] += c
			columns[j] += c
			all += c
		}
		same += row[i]
	}
	byChance := 0.0
	for i := range rows {
		byChance += rows[i] * columns[i] / (all * all)
	}
	if byChance >= 1 || all == 0 {
		return unknown
	}
	return (same/all - byChance) / (1 - byChance)
}

// kappa is Cohen's κ of a yes-no item: the pair's, or with more evaluators the
// mean over all pairs that share players (Light 1971).
func kappa(t table) float64 {
	said := t.byPlayer()
	sum, pairs := 0.0, 0
	for a := range t.evaluators {
		for b := range a {
			if k := Kappa(pairCounts(said, a, b)); k == k {
				sum += k
				pairs++
			}
		}
	}
	if pairs == 0 {
		return unknown
	}
	return sum / float64(pairs)
}

// pairCounts counts no and yes of two evaluators over the players both saw.
func pairCounts(said [][]look, a, b int) [][]float64 {
	counts := square(2)
	for _, looks := range said {
		x, y := -1, -1
		for _, l := range looks {
			switch l.evaluator {
			case a:
				x = int(l.grade)
			case b:
				y = int(l.grade)
			}
		}
		if x >= 0 && y >= 0 {
			counts[x][y]++
		}
	}
	return counts
}

// agreeing is the share of pairs of looks at the same player that say the same.
func agreeing(t table) float64 {
	same, all := 0.0, 0.0
	for _, looks := range t.byPlayer() {
		for i, a := range looks {
			for _, b := range looks[:i] {
				all++
				if a.grade == b.grade {
					same++
				}
			}
		}
	}
	return same / all
}
