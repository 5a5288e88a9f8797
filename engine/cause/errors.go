package cause

import (
	"fmt"
	"strings"
)

// CycleError says that, in some direction of the pairs, faults cause each other
// in a circle. Path runs from cause to effect and ends where it began.
type CycleError struct{ Path []int }

func (e *CycleError) Error() string {
	return "cause: nodes cause each other in a circle: " + joinNodes(e.Path, " → ")
}

// WideError says that the network cannot be worked out exactly in reasonable
// time: Nodes, ascending, have to be weighed all together, which takes Cells
// table cells over all directions, more than MaxCells.
type WideError struct {
	Nodes []int
	Cells int
}

func (e *WideError) Error() string {
	return fmt.Sprintf("cause: nodes %s have to be weighed together, %d cells over all directions, want at most %d",
		joinNodes(e.Nodes, ", "), e.Cells, MaxCells)
}

// ImpossibleError says that the hard evidence cannot all be true: it has
// probability zero, or one too small for a float64. Node is the first, causes
// before effects, that contradicts what stands before it.
type ImpossibleError struct{ Node int }

func (e *ImpossibleError) Error() string {
	return fmt.Sprintf("cause: the evidence has probability zero: node %d cannot be as stated", e.Node)
}

func joinNodes(nodes []int, sep string) string {
	words := make([]string, len(nodes))
	for i, n := range nodes {
		words[i] = fmt.Sprint(n)
	}
	return strings.Join(words, sep)
}
