package cause

// family is the table of one node given its causes. Bit 0 of a cell's number is
// the node itself, bit i its i-th cause: scope[i]. Cells hold P(node | causes).
type family struct {
	scope []int
	table []float64
}

// noisyOr is the table of a node whose mechanisms are the background and its
// causes, in this order: absent with Π(1 − chance) over the background and the
// causes present.
func noisyOr(mechanisms []float64) []float64 {
	table := make([]float64, 1<<len(mechanisms))
	for cell := 0; cell < len(table); cell += 2 {
		absent, present := 1.0, 0.0
		for i, chance := range mechanisms {
			if i == 0 || cell>>i&1 == 1 {
				present += absent * chance // not 1 − absent: exact for tiny chances
				absent *= 1 - chance
			}
		}
		table[cell], table[cell+1] = absent, present
	}
	return table
}
