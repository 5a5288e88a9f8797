package cause

// Work answers questions about one Graph. It owns all the memory they need and
// reuses it, so the slices it returns hold until the next Infer; it serves one
// goroutine. Before the first Infer all its answers are 0.
type Work struct {
	g       *Graph
	scratch scratch
	forward []float64 // by pair
	weights []float64 // by direction
	answers []answer  // by direction
	flow    []float64 // by node, for credit
	mean    answer    // over directions
	edges   []Edge    // shares: over directions
}

// answer is what one direction says. shares go by effect and cause, in the
// order of direction.causes; the mean has them in edges instead.
type answer struct {
	inContext []float64
	kept      []float64
	shares    [][]float64
}

// NewWork makes the buffers for one goroutine.
func (g *Graph) NewWork() *Work {
	w := &Work{
		g:       g,
		forward: make([]float64, len(g.pairs)),
		weights: make([]float64, len(g.directions)),
		answers: make([]answer, len(g.directions)),
		flow:    make([]float64, g.nodes),
		mean:    newAnswer(g.nodes, nil),
		edges:   append([]Edge(nil), g.edges...),
	}
	var cells, seps, widest int
	for i, d := range g.directions {
		w.answers[i] = newAnswer(g.nodes, d.causes)
		cells = max(cells, d.tree.cells)
		seps = max(seps, d.tree.seps)
		widest = max(widest, d.tree.widest)
	}
	w.scratch = scratch{
		cells:    make([]float64, cells),
		seps:     make([]float64, seps),
		down:     make([]float64, seps),
		family:   make([]float64, widest),
		findings: make([]finding, g.nodes),
	}
	return w
}

func newAnswer(nodes int, causes [][]cause) answer {
	a := answer{
		inContext: make([]float64, nodes),
		kept:      make([]float64, nodes),
		shares:    make([][]float64, len(causes)),
	}
	for node, c := range causes {
		a.shares[node] = make([]float64, len(c))
	}
	return a
}

// Infer takes in the evidence; the other methods then tell what follows. It
// fails with *ImpossibleError when hard evidence has probability zero in a
// direction that has weight, and with a plain error on evidence that does not
// fit the graph. After an error the answers mean nothing.
func (w *Work) Infer(ev *Evidence) error {
	if err := ev.check(w.g); err != nil {
		return err
	}
	s := &w.scratch
	ev.findings(s.findings)
	s.cut = ev.Absent
	forwardWeights(w.g.pairs, ev.Held, w.forward)
	for i, d := range w.g.directions {
		w.weights[i] = directionWeight(d.choice, w.forward)
		if w.weights[i] == 0 {
			continue
		}
		if !d.infer(s, &w.answers[i]) {
			return &ImpossibleError{Node: d.impossible(s)}
		}
	}
	w.average()
	return nil
}

// infer is false when the evidence has probability zero.
func (d *direction) infer(s *scratch, a *answer) bool {
	if !d.tree.collect(s) {
		return false
	}
	d.tree.distribute(s)
	for i := range d.tree.cliques {
		c := &d.tree.cliques[i]
		for k := range c.families {
			f := &c.families[k]
			posterior := c.posterior(f, s)
			a.inContext[f.node] = oddShare(posterior)
			a.kept[f.node] = d.credits[f.node].expect(posterior, a.shares[f.node])
		}
	}
	return true
}

// oddShare is the weight of the odd cells, in which a family's node is present.
func oddShare(cells []float64) float64 {
	var absent, present float64
	for i := 0; i < len(cells); i += 2 {
		absent += cells[i]
		present += cells[i+1]
	}
	return present / (absent + present)
}

// impossible takes the findings in one by one, causes before effects, and names
// the first with which the evidence has probability zero.
func (d *direction) impossible(s *scratch) (node int) {
	all := append([]finding(nil), s.findings...)
	for i := range s.findings {
		s.findings[i] = nothing
	}
	for _, node = range d.order {
		s.findings[node] = all[node]
		if !d.tree.collect(s) {
			break
		}
	}
	return node
}

func (w *Work) average() {
	clear(w.mean.inContext)
	clear(w.mean.kept)
	for e := range w.edges {
		w.edges[e].Share = 0
	}
	for i, d := range w.g.directions {
		weight, a := w.weights[i], &w.answers[i]
		if weight == 0 {
			continue
		}
		for node, causes := range d.causes {
			w.mean.inContext[node] += weight * a.inContext[node]
			w.mean.kept[node] += weight * a.kept[node]
			for k, c := range causes {
				w.edges[c.edge].Share += weight * a.shares[node][k]
			}
		}
	}
	for node, p := range w.mean.inContext {
		w.mean.inContext[node] = min(p, 1) // weights may add up to an ulp more than 1
	}
}

// InContext is the posterior chance of each node given all the evidence; 0 for
// a node that does not apply.
func (w *Work) InContext() []float64 { return w.mean.inContext }

// Forward is, for each pair, the posterior weight of the direction as written.
func (w *Work) Forward() []float64 { return w.forward }

// Edges are all links and both directions of every pair, with their shares.
func (w *Work) Edges() []Edge { return w.edges }

// Kept is the background's share of each node: with the shares of the edges
// that lead to the node it adds up to 1.
func (w *Work) Kept() []float64 { return w.mean.kept }
