package measure

import (
	"math"
	"slices"
	"strings"

	"rootcue/engine/quantity"
	"rootcue/engine/rubric"
)

// A Mean is one measure over some reps.
type Mean struct {
	Value quantity.Value // mean with its uncertainty; for yes-no the share of yes
	Reps  int            // in which it was seen
	Yes   int            // of them, for a yes-no measure
	From  string         // "measures", "formula", …; several joined by ", "
}

// Mean averages a measure over the reps in which it was seen. The independent
// part of its variance is max(s²/n, Σu_k²/n²), the larger of external and
// internal consistency (s² with n − 1, JCGM 100 4.2.2); shared inputs never
// average out. in tells which reps count.
func (s *Sheet) Mean(m int, in []bool) Mean {
	if s.isFree(in) {
		if !s.hasMean[m] {
			s.means[m], s.hasMean[m] = s.average(m, in), true
		}
		return s.means[m]
	}
	return s.average(m, in)
}

// Free tells which reps count for means, verdicts and the clock: those in which
// nothing was held.
func (s *Sheet) Free() []bool { return s.free }

func (s *Sheet) isFree(in []bool) bool {
	if len(in) > 0 && &in[0] == &s.free[0] {
		return true
	}
	for i, yes := range in {
		if yes != s.free[i] {
			return false
		}
	}
	return true
}

func (s *Sheet) average(m int, in []bool) Mean {
	mean := Mean{}
	sum, squares := 0.0, 0.0
	for i := range s.Reps {
		if c := s.Counted(i, m, in); c != nil {
			mean.Reps++
			sum += c.Value.X
			mean.From = addFrom(mean.From, c.From)
			if c.Value.X == 1 {
				mean.Yes++
			}
		}
	}
	if mean.Reps == 0 {
		return mean
	}
	n := float64(mean.Reps)
	mean.Value.X = sum / n
	if s.Rubric.Measures[m].Kind == rubric.YesNo {
		p := mean.Value.X
		from := len(s.parts)
		s.parts = append(s.parts, quantity.Part{Input: s.ownInput(m), D: math.Sqrt(p * (1 - p) / n)})
		mean.Value.Parts = s.parts[from:len(s.parts):len(s.parts)]
		return mean
	}
	for i := range s.Reps {
		if c := s.Counted(i, m, in); c != nil {
			squares += (c.Value.X - mean.Value.X) * (c.Value.X - mean.Value.X)
		}
	}
	external := 0.0
	if mean.Reps > 1 {
		external = squares / (n - 1) / n
	}
	mean.Value.Parts = s.meanParts(m, in, n, external)
	return mean
}

// Counted is the cell of a rep that enters a mean, nil if it does not.
func (s *Sheet) Counted(i, m int, in []bool) *Cell {
	if !in[i] || !s.Reps[i].Cells[m].Seen || s.wrongKind(i, m) {
		return nil
	}
	return &s.Reps[i].Cells[m]
}

// meanParts adds up the parts of the reps: shared inputs as they are, the
// others in quadrature, each with the sign it has on the whole; then widens the
// independent part to the external variance if that is larger.
func (s *Sheet) meanParts(m int, in []bool, n, external float64) []quantity.Part {
	parts, sums := s.merged[:0], s.sums[:0] // ΣD² and ΣD, for the sign
	for i := range s.Reps {
		if c := s.Counted(i, m, in); c != nil {
			parts, sums = s.addParts(parts, sums, c.Value.Parts)
		}
	}
	internal := 0.0
	for k := range parts {
		if s.pool.IsShared(parts[k].Input) {
			parts[k].D = sums[k] / n
			continue
		}
		internal += parts[k].D / (n * n)
		parts[k].D = math.Copysign(math.Sqrt(parts[k].D)/n, sums[k])
	}
	parts = s.widen(parts, m, internal, external)
	s.merged, s.sums = parts, sums
	from := len(s.parts)
	s.parts = append(s.parts, parts...)
	return s.parts[from:len(s.parts):len(s.parts)]
}

// addParts merges the parts of one rep, sorted by input: D² into parts, D into
// sums.
func (s *Sheet) addParts(parts []quantity.Part, sums []float64, more []quantity.Part) ([]quantity.Part, []float64) {
	at := 0
	for _, p := range more {
		for at < len(parts) && parts[at].Input < p.Input {
			at++
		}
		if at == len(parts) || parts[at].Input != p.Input {
			parts = append(parts, quantity.Part{})
			sums = append(sums, 0)
			copy(parts[at+1:], parts[at:])
			copy(sums[at+1:], sums[at:])
			parts[at], sums[at] = quantity.Part{Input: p.Input}, 0
		}
		parts[at].D += p.D * p.D
		sums[at] += p.D
	}
	return parts, sums
}

// widen raises the independent variance of a mean from internal to external.
func (s *Sheet) widen(parts []quantity.Part, m int, internal, external float64) []quantity.Part {
	if external <= internal {
		return parts
	}
	if factor := math.Sqrt(external / internal); finite(factor) { // not where internal is 0, or as good as
		for k := range parts {
			if !s.pool.IsShared(parts[k].Input) {
				parts[k].D *= factor
			}
		}
		return parts
	}
	own, at := s.ownInput(m), 0
	for at < len(parts) && parts[at].Input < own {
		at++
	}
	if at == len(parts) || parts[at].Input != own {
		parts = slices.Insert(parts, at, quantity.Part{})
	}
	parts[at] = quantity.Part{Input: own, D: math.Sqrt(external)}
	return parts
}

func addFrom(from, more string) string {
	switch {
	case from == "" || from == more:
		return more
	case slices.Contains(strings.Split(from, "; "), more):
		return from
	}
	return from + "; " + more
}
