package cause

import "slices"

// tree is a join tree (forest) over families: the cliques of an elimination
// order, each joined to the one that its remaining nodes meet first (Lauritzen &
// Spiegelhalter 1988; Jensen, Lauritzen & Olesen 1990). Children come before
// their parents.
type tree struct {
	nodes   int
	cliques []clique
	cells   int // of all cliques together
	seps    int // cells of all separators together
	widest  int // cells of the largest family
}

// clique is a set of nodes weighed together. Bit i of a cell's number is
// nodes[i]. The first own nodes are summed out here, the others form the
// separator, so that the cells of one separator cell lie side by side.
type clique struct {
	nodes    []int
	own      int
	parent   int      // −1 at a root
	toSep    []uint16 // parent's cell → this separator's cell
	base     []float64
	families []placed
	at, sep  int // where its cells and its separator's begin in a Work
}

// placed is a family in the clique that multiplies it in.
type placed struct {
	node  int
	bit   int      // of the node in the clique
	cells []uint16 // clique's cell → family's cell
	table []float64
}

func newTree(families []family, e elimination) *tree {
	t := &tree{nodes: len(families)}
	home := t.group(e)
	for i := range t.cliques {
		c := &t.cliques[i]
		c.at, c.sep = t.cells, t.seps
		t.cells += c.size()
		t.seps += c.size() >> c.own
		c.parent = -1
		if sep := c.nodes[c.own:]; len(sep) > 0 {
			c.parent = home[firstOf(e.order, sep)]
			c.toSep = project(t.cliques[c.parent].nodes, sep)
		}
	}
	for node, f := range families {
		t.place(node, f)
		t.widest = max(t.widest, len(f.table))
	}
	for i := range t.cliques {
		c := &t.cliques[i]
		c.base = make([]float64, c.size())
		c.fill(c.base, nil)
	}
	return t
}

// group makes the cliques of the elimination, leaving out those that lie within
// another: a node whose clique is all that remains of an earlier one joins it.
// It returns the clique in which each node is summed out.
func (t *tree) group(e elimination) (home []int) {
	home = make([]int, len(e.neighbours))
	var groups [][]int    // nodes summed out together
	open := map[int]int{} // node that may join → group
	for _, node := range e.order {
		g, joins := open[node]
		if !joins {
			g = len(groups)
			groups = append(groups, nil)
		}
		groups[g] = append(groups[g], node)
		home[node] = g
		rest := e.neighbours[node]
		if len(rest) == 0 {
			continue
		}
		if next := firstOf(e.order, rest); len(e.neighbours[next]) == len(rest)-1 {
			open[next] = g
		}
	}
	return t.sortGroups(e, groups, home)
}

// sortGroups makes a clique of each group, in the order in which the groups'
// last nodes are summed out, so that children stand before their parents.
func (t *tree) sortGroups(e elimination, groups [][]int, home []int) []int {
	position := make([]int, len(groups))
	for _, node := range e.order {
		g := home[node]
		own := groups[g]
		if own[len(own)-1] != node {
			continue
		}
		position[g] = len(t.cliques)
		t.cliques = append(t.cliques, clique{
			nodes: append(slices.Clone(own), e.neighbours[node]...),
			own:   len(own),
		})
	}
	for node := range home {
		home[node] = position[home[node]]
	}
	return home
}

// place puts a family into the smallest clique that holds its scope, the first
// on ties.
func (t *tree) place(node int, f family) {
	best := -1
	for i := range t.cliques {
		c := &t.cliques[i]
		if (best < 0 || c.size() < t.cliques[best].size()) && c.holds(f.scope) {
			best = i
		}
	}
	c := &t.cliques[best]
	c.families = append(c.families, placed{
		node:  node,
		bit:   slices.Index(c.nodes, node),
		cells: project(c.nodes, f.scope),
		table: f.table,
	})
}

// fill writes the product of the clique's families. A node that is cut (nil:
// none) is absent whatever its causes, and says nothing about them.
func (c *clique) fill(cells []float64, cut []bool) {
	for i := range cells {
		cells[i] = 1
	}
	for _, f := range c.families {
		if cut != nil && cut[f.node] {
			scaleHalf(cells, f.bit, 1, 0)
			continue
		}
		for i, cell := range f.cells {
			cells[i] *= f.table[cell]
		}
	}
}

func (c *clique) size() int { return 1 << len(c.nodes) }

func (c *clique) holds(scope []int) bool {
	for _, node := range scope {
		if !slices.Contains(c.nodes, node) {
			return false
		}
	}
	return true
}

// project maps each cell over the nodes to the cell over some of them.
func project(nodes, some []int) []uint16 {
	cells := make([]uint16, 1<<len(nodes))
	for to, node := range some {
		from := slices.Index(nodes, node)
		for cell := range cells {
			cells[cell] |= uint16(cell >> from & 1 << to)
		}
	}
	return cells
}

// firstOf is the one of the nodes that comes first in the order.
func firstOf(order, nodes []int) int {
	for _, node := range order {
		if slices.Contains(nodes, node) {
			return node
		}
	}
	return -1
}
