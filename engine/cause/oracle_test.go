package cause

import "math"

// oracle works out everything by plain enumeration of all states of all nodes,
// straight from the Spec, for each choice of directions.
type oracle struct {
	spec    Spec
	ev      *Evidence
	edges   []Edge
	weights []float64   // by choice
	p       [][]float64 // by choice and node
	shares  [][]float64 // by choice and edge; 0 where the edge is not
	kept    [][]float64 // by choice and node
	nothing bool        // the evidence has probability zero in a direction with weight
}

func newOracle(spec Spec, ev *Evidence) *oracle {
	o := &oracle{spec: spec, ev: ev, edges: spec.edges()}
	for choice := range 1 << len(spec.Pairs) {
		o.weights = append(o.weights, o.weight(choice))
		o.enumerate(choice)
	}
	total := 0.0
	for _, w := range o.weights {
		total += w
	}
	for i := range o.weights {
		o.weights[i] /= total
	}
	return o
}

// weight multiplies priors and held readings as they are, without logarithms.
func (o *oracle) weight(choice int) float64 {
	weight := 1.0
	for p, pair := range o.spec.Pairs {
		asWritten := choice>>p&1 == 0
		if asWritten {
			weight *= pair.Weight
		} else {
			weight *= 1 - pair.Weight
		}
		for _, h := range o.ev.Held {
			if h.Pair != p {
				continue
			}
			causeIsHeld := h.HeldFirst == asWritten
			if causeIsHeld { // the other should have gone
				weight *= 0.1*h.Chance + 0.9*(1-h.Chance)
			} else { // the other should have stayed
				weight *= 0.9*h.Chance + 0.1*(1-h.Chance)
			}
		}
	}
	return weight
}

// exists tells whether the edge is part of the network of this choice.
func (o *oracle) exists(edge, choice int) bool {
	at := edge - len(o.spec.Links)
	return at < 0 || choice>>(at/2)&1 == at%2
}

func (o *oracle) strength(edge int) float64 {
	if at := edge - len(o.spec.Links); at >= 0 {
		return o.spec.Pairs[at/2].Strength
	}
	return o.spec.Links[edge].Strength
}

func (o *oracle) notApplicable(node int) bool { return o.ev.Absent != nil && o.ev.Absent[node] }

// active lists the edges whose cause is present, for one effect.
func (o *oracle) active(state, effect, choice int) (edges []int) {
	for e, edge := range o.edges {
		if edge.To == effect && o.exists(e, choice) && state>>edge.From&1 == 1 {
			edges = append(edges, e)
		}
	}
	return edges
}

// fired calls f with every non-empty set of mechanisms that can fire and its
// chance. Bit 0 is the background, bit i the i-th active edge.
func (o *oracle) fired(effect int, active []int, f func(set int, chance float64)) {
	for set := 1; set < 2<<len(active); set++ {
		chance := o.spec.Background[effect]
		if set&1 == 0 {
			chance = 1 - chance
		}
		for i, e := range active {
			if set>>(i+1)&1 == 1 {
				chance *= o.strength(e)
			} else {
				chance *= 1 - o.strength(e)
			}
		}
		f(set, chance)
	}
}

func (o *oracle) joint(state, choice int) float64 {
	product := 1.0
	for node, ratio := range o.ev.Ratio {
		present := state>>node&1 == 1
		if o.notApplicable(node) {
			if present {
				return 0
			}
			continue
		}
		chance := 0.0
		o.fired(node, o.active(state, node, choice), func(_ int, c float64) { chance += c })
		if present {
			product *= chance * math.Min(math.Max(ratio, 1e-6), 1e6)
		} else {
			for _, e := range o.active(state, node, choice) {
				product *= 1 - o.strength(e)
			}
			product *= 1 - o.spec.Background[node]
		}
		if o.ev.Hard != nil && (o.ev.Hard[node] > 0 && !present || o.ev.Hard[node] < 0 && present) {
			return 0
		}
	}
	for node := range o.ev.Ratio {
		if o.notApplicable(node) && o.ev.Hard != nil && o.ev.Hard[node] > 0 {
			return 0
		}
	}
	return product
}

func (o *oracle) enumerate(choice int) {
	n := len(o.spec.Background)
	p, kept := make([]float64, n), make([]float64, n)
	shares := make([]float64, len(o.edges))
	total := 0.0
	for state := range 1 << n {
		weight := o.joint(state, choice)
		if weight == 0 {
			continue
		}
		total += weight
		for node := range n {
			if state>>node&1 == 1 {
				p[node] += weight
				o.split(state, node, choice, weight, shares, kept)
			}
		}
	}
	if total == 0 && o.weights[choice] > 0 {
		o.nothing = true
	}
	for e, edge := range o.edges {
		if p[edge.To] > 0 {
			shares[e] /= p[edge.To]
		}
	}
	for node := range n {
		if p[node] == 0 {
			kept[node] = 1
			continue
		}
		kept[node] /= p[node]
		p[node] /= total
	}
	o.p, o.kept, o.shares = append(o.p, p), append(o.kept, kept), append(o.shares, shares)
}

// split shares the weight of one state in which the node is present among the
// mechanisms that fired.
func (o *oracle) split(state, node, choice int, weight float64, shares, kept []float64) {
	active := o.active(state, node, choice)
	some := 0.0
	o.fired(node, active, func(_ int, c float64) { some += c })
	o.fired(node, active, func(set int, c float64) {
		count := 0.0
		for i := range len(active) + 1 {
			count += float64(set >> i & 1)
		}
		part := weight * c / some / count
		if set&1 == 1 {
			kept[node] += part
		}
		for i, e := range active {
			if set>>(i+1)&1 == 1 {
				shares[e] += part
			}
		}
	})
}

// mean averages over the directions by weight.
func (o *oracle) mean(of func(choice int) float64) float64 {
	sum := 0.0
	for choice, w := range o.weights {
		if w > 0 {
			sum += w * of(choice)
		}
	}
	return sum
}

// reach is the fraction of from's part that comes to the node on its way,
// summed over all paths; blocked nodes let nothing past.
func (o *oracle) reach(choice, from, node int, blocked []bool) float64 {
	if from == node {
		return 1
	}
	if blocked != nil && blocked[from] {
		return 0
	}
	sum := 0.0
	for e, edge := range o.edges {
		if edge.To == from && o.exists(e, choice) && o.shares[choice][e] > 0 {
			sum += o.shares[choice][e] * o.reach(choice, edge.From, node, blocked)
		}
	}
	return sum
}

// ends is the fraction of from's part that stays at the node.
func (o *oracle) ends(from, node int) float64 {
	return o.mean(func(c int) float64 { return o.reach(c, from, node, nil) * o.kept[c][node] })
}

func (o *oracle) carries(edge int, parts []float64) float64 {
	to := o.edges[edge].To
	return o.mean(func(c int) float64 {
		sum := 0.0
		for i, part := range parts {
			sum += part * o.reach(c, i, to, nil) * o.shares[c][edge]
		}
		return sum
	})
}

func (o *oracle) gain(parts []float64, fixed []bool) float64 {
	return o.mean(func(c int) float64 {
		sum := 0.0
		for i, part := range parts {
			for node, stops := range fixed {
				if stops {
					sum += part * o.reach(c, i, node, fixed)
				}
			}
		}
		return sum
	})
}

func (o *oracle) forward(pair int) float64 {
	sum := 0.0
	for choice, w := range o.weights {
		if choice>>pair&1 == 0 {
			sum += w
		}
	}
	return sum
}
