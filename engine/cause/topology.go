package cause

import "slices"

// causesFirst orders the nodes so that causes come before their effects, by
// depth-first search in node order. It fails with *CycleError.
func causesFirst(causes [][]cause) ([]int, error) {
	w := walk{causes: causes, state: make([]visit, len(causes))}
	for node := range causes {
		if cycle := w.visit(node); cycle != nil {
			return nil, &CycleError{Path: cycle}
		}
	}
	return w.order, nil
}

type visit uint8

const (
	unvisited visit = iota
	onPath
	done
)

type walk struct {
	causes [][]cause
	state  []visit
	path   []int // from the start of the walk, effect to cause
	order  []int
}

// visit puts the node's causes, then the node, into the order; it returns the
// closed path, from cause to effect, of a circle it runs into.
func (w *walk) visit(node int) []int {
	switch w.state[node] {
	case done:
		return nil
	case onPath:
		cycle := append(slices.Clone(w.path[slices.Index(w.path, node):]), node)
		slices.Reverse(cycle)
		return cycle
	}
	w.state[node] = onPath
	w.path = append(w.path, node)
	for _, c := range w.causes[node] {
		if cycle := w.visit(c.from); cycle != nil {
			return cycle
		}
	}
	w.path = w.path[:len(w.path)-1]
	w.state[node] = done
	w.order = append(w.order, node)
	return nil
}
