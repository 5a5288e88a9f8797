package measure

import (
	"slices"
	"sync"

	"rootcue/engine/formula"
	"rootcue/engine/quantity"
	"rootcue/engine/rubric"
)

// memory is what a sheet works in. It outlives the sheet, since a sheet is made
// and thrown away for every observation.
type memory struct {
	cells   []Cell
	x       []float64 // of all inputs of formulas
	seen    []bool    // likewise
	parts   []quantity.Part
	order   []int           // measures in the order of the rep read before
	merged  []quantity.Part // scratch of a mean
	sums    []float64       // likewise
	up      []float64       // scratch of propagation
	down    []float64       // likewise
	reading []readMean      // scratch of an expression on means
	inputs  []quantity.Input
}

var sheets = sync.Pool{New: func() any { return new(Sheet) }}

// Release takes a sheet back whose values nobody holds any more. A sheet that is
// not released is left to the garbage collector.
func (s *Sheet) Release() { sheets.Put(s) }

// borrow makes an empty sheet with room for a rubric's measures and some reps.
func borrow(r *rubric.Rubric, reps int) *Sheet {
	old := sheets.Get().(*Sheet)
	old.pool.Reset()
	s := old
	*s = Sheet{Rubric: r, Reps: cleared(old.Reps, reps), free: cleared(old.free, reps), means: cleared(old.means, len(r.Measures)), hasMean: cleared(old.hasMean, len(r.Measures)), pool: old.pool, memory: old.memory}
	s.cells = cleared(s.cells, reps*len(r.Measures))
	s.parts, s.order = slices.Grow(s.parts[:0], 2*len(s.cells)+8*len(r.Measures)), s.order[:0]
	n := r.Slots.Count
	s.x, s.seen = cleared(s.x, (1+reps)*n), cleared(s.seen, (1+reps)*n)
	take := func(i int) formula.Inputs {
		return formula.Inputs{X: s.x[i*n : (i+1)*n : (i+1)*n], Seen: s.seen[i*n : (i+1)*n : (i+1)*n]}
	}
	s.in = take(reps)
	for i := range s.Reps {
		m := len(r.Measures)
		s.Reps[i] = Rep{Cells: s.cells[i*m : (i+1)*m : (i+1)*m], in: take(i)}
	}
	return s
}

// cleared is a list of n zero values, in old memory if there is enough.
func cleared[T any](old []T, n int) []T {
	old = slices.Grow(old[:0], n)[:n]
	clear(old)
	return old
}
