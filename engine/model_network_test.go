package engine_test

import "math"

// A modelNetwork is what every direction of the pairs says, with its weight.
type modelNetwork struct {
	*model
	edges      []modelEdge
	weights    []float64
	directions []modelDirection
	inContext  []float64 // by fault, averaged
}

// A modelEdge is a link, or one way of a pair.
type modelEdge struct {
	from, to int
	strength float64
	pair     int // -1: a link
	forward  bool
}

// A modelDirection is one choice of a way for each pair: shares by edge, what
// each fault keeps, and the chances.
type modelDirection struct {
	shares, kept, inContext []float64
}

// newModelNetwork infers with some faults surely present (1) or absent (−1).
func newModelNetwork(m *model, hard []int) *modelNetwork {
	n := &modelNetwork{model: m, inContext: make([]float64, len(m.faults))}
	for i, f := range m.faults {
		for _, l := range f.links {
			n.edges = append(n.edges, modelEdge{i, l.to, l.strength, -1, false})
		}
	}
	for p, pair := range m.pairs {
		n.edges = append(n.edges, modelEdge{pair.first, pair.second, pair.strength, p, true}, modelEdge{pair.second, pair.first, pair.strength, p, false})
	}
	total := 0.0
	for choice := range 1 << len(m.pairs) {
		w := 1.0
		for p := range m.pairs {
			f := m.forward(p)
			if choice>>p&1 == 1 {
				f = 1 - f
			}
			w *= f
		}
		n.weights = append(n.weights, w)
		total += w
		n.directions = append(n.directions, n.infer(choice, hard))
	}
	for c := range n.weights {
		n.weights[c] /= total
		for i := range n.inContext {
			n.inContext[i] += n.weights[c] * n.directions[c].inContext[i]
		}
	}
	return n
}

// forward is the weight of a pair's way as written: its prior times a factor for
// each rep in which one member was held, from the chance of the other there.
func (m *model) forward(p int) float64 {
	pair := m.pairs[p]
	forth, back := pair.weight, 1-pair.weight
	for k := range m.reps {
		r := &m.reps[k]
		other := -1
		switch r.held {
		case pair.first:
			other = pair.second
		case pair.second:
			other = pair.first
		}
		if other < 0 || !r.values[other].seen || m.faults[other].notInDirt && r.dirt {
			continue
		}
		v, wrong := r.values[other], 0
		if m.faults[other].wrong(v) {
			wrong = 1
		}
		chance := m.faults[other].chanceOf(v.x, v.u, wrong, 1)
		stays, goes := 0.9*chance+0.1*(1-chance), 0.1*chance+0.9*(1-chance)
		if r.held == pair.second {
			forth, back = forth*stays, back*goes
		} else {
			forth, back = forth*goes, back*stays
		}
	}
	return forth / (forth + back)
}

// causes lists the edges into a fault that exist in a choice of ways.
func (n *modelNetwork) causes(to, choice int) (list []int) {
	for e, edge := range n.edges {
		if edge.to == to && (edge.pair < 0 || (choice>>edge.pair&1 == 0) == edge.forward) {
			list = append(list, e)
		}
	}
	return list
}

// infer goes through all states of all faults.
func (n *modelNetwork) infer(choice int, hard []int) modelDirection {
	count := len(n.faults)
	d := modelDirection{make([]float64, len(n.edges)), make([]float64, count), make([]float64, count)}
	total := 0.0
	for state := range 1 << count {
		p := n.chanceOfState(state, choice, hard)
		total += p
		for j := range count {
			if p == 0 || state>>j&1 == 0 {
				continue
			}
			d.inContext[j] += p
			d.kept[j] += p
			chances := []float64{n.faults[j].background}
			var present []int
			for _, e := range n.causes(j, choice) {
				if state>>n.edges[e].from&1 == 1 {
					present = append(present, e)
					chances = append(chances, n.edges[e].strength)
				}
			}
			for k, e := range present {
				share := orShare(k+1, chances)
				d.shares[e] += p * share
				d.kept[j] -= p * share
			}
		}
	}
	for e, edge := range n.edges {
		if d.inContext[edge.to] > 0 {
			d.shares[e] /= d.inContext[edge.to]
		}
	}
	for j := range count {
		if d.kept[j] /= d.inContext[j]; d.inContext[j] == 0 {
			d.kept[j] = 1
		}
		d.inContext[j] /= total
	}
	return d
}

// chanceOfState is the joint chance of a state and the evidence, up to a factor:
// noisy-OR for each fault, times its ratio chance/(1 − chance) if present.
func (n *modelNetwork) chanceOfState(state, choice int, hard []int) float64 {
	p := 1.0
	for j := range n.faults {
		present := state>>j&1 == 1
		if hard[j] > 0 && !present || hard[j] < 0 && present {
			return 0
		}
		if n.verdict[j] == "not-applicable" { // absent, and no evidence on its causes
			if present {
				return 0
			}
			continue
		}
		off := 1 - n.faults[j].background
		for _, e := range n.causes(j, choice) {
			if state>>n.edges[e].from&1 == 1 {
				off *= 1 - n.edges[e].strength
			}
		}
		if !present {
			p *= off
			continue
		}
		p *= 1 - off
		if c := n.chance[j]; !math.IsNaN(c) && hard[j] == 0 {
			p *= math.Min(1e6, math.Max(1e-6, c/(1-c)))
		}
	}
	return p
}

// orShare goes through all patterns of mechanisms that fired, at least one: one
// credit split equally among them.
func orShare(which int, chances []float64) float64 {
	share, some := 0.0, 0.0
	for fired := 1; fired < 1<<len(chances); fired++ {
		p, count := 1.0, 0
		for k, c := range chances {
			if fired>>k&1 == 1 {
				p *= c
				count++
			} else {
				p *= 1 - c
			}
		}
		some += p
		if fired>>which&1 == 1 {
			share += p / float64(count)
		}
	}
	return share / some
}

// A modelFlow is where credit ends, and what passed along each edge.
type modelFlow struct{ ends, carries []float64 }

// flow hands each fault's credit along its shares until it ends, a little at a
// time; with stop, what reaches such a fault goes no further and is all counted.
func (n *modelNetwork) flow(parts []float64, stop []bool) modelFlow {
	out := modelFlow{make([]float64, len(n.faults)), make([]float64, len(n.edges))}
	for choice, d := range n.directions {
		var hand func(j int, credit float64)
		hand = func(j int, credit float64) {
			if stop != nil && stop[j] {
				out.ends[j] += n.weights[choice] * credit
				return
			}
			out.ends[j] += n.weights[choice] * credit * d.kept[j]
			for _, e := range n.causes(j, choice) {
				if passed := credit * d.shares[e]; passed > 0 {
					out.carries[e] += n.weights[choice] * passed
					hand(n.edges[e].from, passed)
				}
			}
		}
		for j, credit := range parts {
			hand(j, credit)
		}
	}
	return out
}

// share is an edge's share averaged over the directions.
func (n *modelNetwork) share(e int) (mean float64) {
	for choice, d := range n.directions {
		mean += n.weights[choice] * d.shares[e]
	}
	return mean
}
