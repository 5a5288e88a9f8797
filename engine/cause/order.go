package cause

import (
	"math"
	"slices"
)

// MaxCells bounds the work of one question: the cells of the largest clique,
// two to the power of its nodes, times the number of directions. A clique at the
// bound takes some two milliseconds a question; a throw to second, seven nodes
// in four directions, has 512 cells.
const MaxCells = 1 << 16

// elimination is the order in which nodes are summed out, and for each step the
// neighbours the node then has: with it they form a clique.
type elimination struct {
	order      []int
	neighbours [][]int // by node, ascending
}

// eliminate sums out the node with the fewest neighbours first, the lowest
// number on ties, joining its neighbours. Nodes that share a scope start out as
// neighbours. It fails with *WideError on a clique of more than limit cells.
func eliminate(scopes [][]int, limit int) (elimination, error) {
	n := len(scopes)
	adjacent := make([][]bool, n)
	for i := range adjacent {
		adjacent[i] = make([]bool, n)
	}
	for _, scope := range scopes {
		joinAll(adjacent, scope)
	}
	e := elimination{neighbours: make([][]int, n)}
	gone := make([]bool, n)
	for range n {
		node, neighbours := loneliest(adjacent, gone)
		if cells := cellsOf(1 + len(neighbours)); cells > limit {
			return e, wideError(append(neighbours, node), cells, limit)
		}
		joinAll(adjacent, neighbours)
		gone[node] = true
		e.order = append(e.order, node)
		e.neighbours[node] = neighbours
	}
	return e, nil
}

func joinAll(adjacent [][]bool, nodes []int) {
	for _, a := range nodes {
		for _, b := range nodes {
			adjacent[a][b] = a != b
		}
	}
}

// loneliest finds the node with the fewest neighbours among those not gone.
func loneliest(adjacent [][]bool, gone []bool) (best int, neighbours []int) {
	fewest := math.MaxInt
	for node, row := range adjacent {
		if gone[node] {
			continue
		}
		count := 0
		for other, joined := range row {
			if joined && !gone[other] {
				count++
			}
		}
		if count < fewest {
			best, fewest = node, count
		}
	}
	for other, joined := range adjacent[best] {
		if joined && !gone[other] {
			neighbours = append(neighbours, other)
		}
	}
	return best, neighbours
}

// cellsOf is 2^nodes, held at a number that still divides by MaxCells safely.
func cellsOf(nodes int) int { return 1 << min(nodes, 40) }

// wideError counts the cells over all directions, of which limit is the share
// of one.
func wideError(nodes []int, cells, limit int) error {
	slices.Sort(nodes)
	return &WideError{Nodes: nodes, Cells: cells * (MaxCells / limit)}
}
