package cause

// The two passes over a join tree after Jensen, Lauritzen & Olesen 1990: each
// clique collects from its children, then the root's knowledge goes back down.
// After both, every clique holds P(its nodes | all evidence) up to a factor.

const (
	// rescaleBelow keeps products of many messages away from underflow.
	rescaleBelow = 1e-30
	// dropBelow ends a message's ratios where their inverse would overflow.
	dropBelow = 1e-290
)

// scratch is the memory that one direction at a time needs.
type scratch struct {
	cells    []float64 // of all cliques
	seps     []float64 // of all separators: the messages up
	down     []float64 // one message down
	family   []float64 // one family's posterior
	findings []finding
	cut      []bool // nodes that do not apply; nil: none
}

// collect enters the evidence and passes messages toward the roots. It is false
// when the evidence has probability zero.
func (t *tree) collect(s *scratch) bool {
	for i := range t.cliques {
		c := &t.cliques[i]
		c.enter(c.in(s.cells), s)
	}
	for i := range t.cliques {
		c := &t.cliques[i]
		message := c.message(s)
		total := sumBlocks(message, c.in(s.cells), c.own)
		if total == 0 {
			return false
		}
		if c.parent < 0 {
			continue
		}
		for k, m := range message {
			if m /= total; m < dropBelow {
				m = 0
			}
			message[k] = m
		}
		multiply(t.cliques[c.parent].in(s.cells), c.toSep, message)
	}
	return true
}

// distribute passes messages back from the roots.
func (t *tree) distribute(s *scratch) {
	for i := len(t.cliques) - 1; i >= 0; i-- {
		c := &t.cliques[i]
		if c.parent < 0 {
			continue
		}
		up := c.message(s)
		down := s.down[:len(up)]
		total := sumInto(down, t.cliques[c.parent].in(s.cells), c.toSep)
		cells := c.in(s.cells)
		for k, old := range up {
			ratio := 0.0
			if old > 0 {
				ratio = down[k] / total / old
			}
			block := cells[k<<c.own : (k+1)<<c.own]
			for b := range block {
				block[b] *= ratio
			}
		}
	}
}

// posterior is P(node, causes | all evidence) up to a factor, in the family's
// cells.
func (c *clique) posterior(f *placed, s *scratch) []float64 {
	out := s.family[:len(f.table)]
	sumInto(out, c.in(s.cells), f.cells)
	return out
}

// enter starts the clique's cells with its families and the evidence on their
// nodes. Certain evidence goes into every clique that has the node, so that no
// message carries what is known to be false.
func (c *clique) enter(cells []float64, s *scratch) {
	if c.anyCut(s.cut) {
		c.fill(cells, s.cut)
	} else {
		copy(cells, c.base)
	}
	for bit, node := range c.nodes {
		for state, like := range s.findings[node] {
			if like == 0 {
				scaleHalf(cells, bit, state, 0)
			}
		}
	}
	for _, f := range c.families {
		for state, like := range s.findings[f.node] {
			if like > 0 && like < 1 {
				scaleHalf(cells, f.bit, state, like)
			}
		}
	}
}

func (c *clique) anyCut(cut []bool) bool {
	if cut == nil {
		return false
	}
	for _, f := range c.families {
		if cut[f.node] {
			return true
		}
	}
	return false
}

func (c *clique) in(cells []float64) []float64 { return cells[c.at : c.at+c.size()] }

func (c *clique) message(s *scratch) []float64 {
	return s.seps[c.sep : c.sep+c.size()>>c.own]
}
