package cause

// creditTable holds, for each cause m of an effect and each set of causes
// present, the share of m in the effect: the chance that m's mechanism fired,
// one credit split equally among those that fired, given that one did. This is
// the Shapley value of the OR game among the mechanisms (Shapley 1953).
//
// Row m has one cell for every set: bit i of the cell's number is cause i. What
// the rows leave of 1 is the background's.
type creditTable [][]float64

// newCreditTable takes the background's chance, then each cause's.
func newCreditTable(mechanisms []float64) creditTable {
	causes := len(mechanisms) - 1
	table := make(creditTable, causes)
	for m := range table {
		table[m] = make([]float64, 1<<causes)
	}
	present := make([]float64, 0, len(mechanisms))
	for set := range 1 << causes {
		present = append(present[:0], mechanisms[0])
		for m := range causes {
			if set>>m&1 == 1 {
				present = append(present, mechanisms[m+1])
			}
		}
		next := 1
		for m := range causes {
			if set>>m&1 == 1 {
				table[m][set] = shareOf(next, present)
				next++
			}
		}
	}
	return table
}

// shareOf is E[1{m fired} / number fired | at least one fired] for independent
// mechanisms: chance_m · E[1/(1 + K)] / P(at least one), K the number of others
// that fired. It is 0 when none can fire.
func shareOf(m int, chances []float64) float64 {
	count := make([]float64, 1, len(chances)) // P(K = k) so far
	count[0] = 1
	none, some := 1.0, 0.0
	for i, p := range chances {
		some += none * p
		none *= 1 - p
		if i == m {
			continue
		}
		count = append(count, 0)
		for k := len(count) - 1; k > 0; k-- {
			count[k] = count[k]*(1-p) + count[k-1]*p
		}
		count[0] *= 1 - p
	}
	if some == 0 {
		return 0
	}
	mean := 0.0
	for k, p := range count {
		mean += p / float64(1+k)
	}
	return chances[m] * mean / some
}

// expect writes each cause's expected share given that the effect is present,
// and returns what stays with the effect. posterior is P(node, causes | all
// evidence) up to a factor, in the cells of a family, and is used up. An effect
// that is surely absent keeps all: it has nothing to hand on.
func (t creditTable) expect(posterior, shares []float64) (kept float64) {
	present := 0.0
	for cell := 1; cell < len(posterior); cell += 2 {
		present += posterior[cell]
	}
	if present == 0 {
		clear(shares)
		return 1
	}
	for cell := 1; cell < len(posterior); cell += 2 {
		posterior[cell] /= present // before any product, which could underflow
	}
	kept = 1
	for m, row := range t {
		share := 0.0
		for set, credit := range row {
			share += posterior[2*set+1] * credit
		}
		shares[m] = share
		kept -= share
	}
	return max(kept, 0)
}
