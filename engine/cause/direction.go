package cause

// cause is one way for an effect to come about besides its background.
type cause struct {
	from, edge int // node, and index into Graph.edges
	strength   float64
}

// direction is the network under one choice of directions: bit p of choice is
// 0 when pair p runs as written.
type direction struct {
	choice  int
	causes  [][]cause     // by effect
	order   []int         // causes before effects
	credits []creditTable // by effect
	tree    *tree
}

func newDirection(spec Spec, choice int) (*direction, error) {
	d := &direction{choice: choice, causes: spec.causes(choice)}
	var err error
	if d.order, err = causesFirst(d.causes); err != nil {
		return nil, err
	}
	// Widths are checked before any table is made: a table may be huge.
	scopes := make([][]int, len(d.causes))
	for node, causes := range d.causes {
		scopes[node] = append(scopes[node], node)
		for _, c := range causes {
			scopes[node] = append(scopes[node], c.from)
		}
	}
	elim, err := eliminate(scopes, MaxCells>>len(spec.Pairs))
	if err != nil {
		return nil, err
	}
	families := make([]family, len(scopes))
	d.credits = make([]creditTable, len(scopes))
	for node, scope := range scopes {
		mechanisms := spec.mechanisms(node, d.causes[node])
		families[node] = family{scope, noisyOr(mechanisms)}
		d.credits[node] = newCreditTable(mechanisms)
	}
	d.tree = newTree(families, elim)
	return d, nil
}

// causes lists each node's causes under the choice, links before pairs.
func (s Spec) causes(choice int) [][]cause {
	causes := make([][]cause, len(s.Background))
	for i, l := range s.Links {
		causes[l.To] = append(causes[l.To], cause{l.From, i, l.Strength})
	}
	for p, pair := range s.Pairs {
		from, to, edge := pair.First, pair.Second, len(s.Links)+2*p
		if choice>>p&1 == 1 {
			from, to, edge = to, from, edge+1
		}
		causes[to] = append(causes[to], cause{from, edge, pair.Strength})
	}
	return causes
}

// mechanisms are the chances of what may bring a node about: its background,
// then each cause.
func (s Spec) mechanisms(node int, causes []cause) []float64 {
	chances := []float64{s.Background[node]}
	for _, c := range causes {
		chances = append(chances, c.strength)
	}
	return chances
}
