package cause

// Credit hands what each node costs back along its shares, effects first:
//
//	total_j = parts_j + what j's own effects handed up;
//	total_j × share_ij goes to cause i, total_j × background share stays with j.
//
// parts has one entry for each node, in any unit, and so has recovers, which
// gets what stays; carries has one for each of Edges and gets what passes there.
// Both are overwritten, and averaged over directions by weight. Nothing is lost:
// recovers adds up to parts.
func (w *Work) Credit(parts, recovers, carries []float64) {
	clear(recovers)
	clear(carries)
	for i, d := range w.g.directions {
		weight, a := w.weights[i], &w.answers[i]
		if weight == 0 {
			continue
		}
		copy(w.flow, parts)
		for k := len(d.order) - 1; k >= 0; k-- {
			node := d.order[k]
			total := w.flow[node]
			recovers[node] += weight * total * a.kept[node]
			for k, c := range d.causes[node] {
				passed := total * a.shares[node][k]
				w.flow[c.from] += passed
				carries[c.edge] += weight * passed
			}
		}
	}
}

// CreditRow writes, for each node i, the fraction of i's part that ends at node
// k, so that recovers_k of Credit is Σ row_i·parts_i. The rows of all nodes add
// up to 1 in each column.
func (w *Work) CreditRow(k int, row []float64) {
	clear(row)
	for i, d := range w.g.directions {
		weight, a := w.weights[i], &w.answers[i]
		if weight == 0 {
			continue
		}
		for _, node := range d.order {
			ends := 0.0
			if node == k {
				ends = a.kept[node]
			}
			for k, c := range d.causes[node] {
				ends += a.shares[node][k] * w.flow[c.from]
			}
			w.flow[node] = ends
			row[node] += weight * ends
		}
	}
}

// Gain is the credit that stops when the fixed nodes are put right: it flows as
// in Credit, and what reaches a fixed node goes no further. parts and fixed have
// one entry for each node.
func (w *Work) Gain(parts []float64, fixed []bool) float64 {
	gain := 0.0
	for i, d := range w.g.directions {
		weight, a := w.weights[i], &w.answers[i]
		if weight == 0 {
			continue
		}
		copy(w.flow, parts)
		for k := len(d.order) - 1; k >= 0; k-- {
			node := d.order[k]
			if fixed[node] {
				gain += weight * w.flow[node]
				continue
			}
			for k, c := range d.causes[node] {
				w.flow[c.from] += w.flow[node] * a.shares[node][k]
			}
		}
	}
	return gain
}
