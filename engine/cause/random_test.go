package cause

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawChance gives hundredths, 0 and 1 among them. Multiplying by 37 spreads
// them: rapid draws small numbers more often.
func drawChance(t *rapid.T, label string) float64 {
	return float64(rapid.IntRange(0, 100).Draw(t, label)*37%101) / 100
}

// drawSpec gives a network without circles in any direction: nodes in a random
// order, links forwards, pairs between neighbours in that order.
func drawSpec(t *rapid.T, most int) Spec {
	n := most - rapid.IntRange(0, 3).Draw(t, "nodes fewer")
	order := rapid.Permutation(seq(n)).Draw(t, "order")
	var s Spec
	for range n {
		s.Background = append(s.Background, drawChance(t, "background"))
	}
	for i := range n {
		if i%2 == 1 && len(s.Pairs) < 3 && rapid.Bool().Draw(t, "pair") {
			pair := Pair{order[i-1], order[i], drawChance(t, "weight"), drawChance(t, "strength")}
			if rapid.Bool().Draw(t, "turned") {
				pair.First, pair.Second = pair.Second, pair.First
			}
			s.Pairs = append(s.Pairs, pair)
		} else if i > 0 && rapid.Bool().Draw(t, "link back") {
			s.Links = append(s.Links, Link{order[i-1], order[i], drawChance(t, "strength")})
		}
		for k := range i - 1 {
			if rapid.IntRange(0, 2).Draw(t, "link") == 0 {
				s.Links = append(s.Links, Link{order[k], order[i], drawChance(t, "strength")})
			}
		}
	}
	return s
}

func drawEvidence(t *rapid.T, s Spec) *Evidence {
	n := len(s.Background)
	ev := &Evidence{Ratio: make([]float64, n)}
	for i := range n {
		ev.Ratio[i] = 1
		if rapid.Bool().Draw(t, "seen") {
			p := drawChance(t, "chance")
			ev.Ratio[i] = p / (1 - p) // 0 and +Inf among them
		}
	}
	if rapid.Bool().Draw(t, "some do not apply") {
		ev.Absent = make([]bool, n)
		for i := range n {
			ev.Absent[i] = rapid.IntRange(0, 4).Draw(t, "absent") == 0
		}
	}
	if rapid.IntRange(0, 3).Draw(t, "what if") == 0 {
		ev.Hard = make([]int8, n)
		for i := range n {
			ev.Hard[i] = rapid.SampledFrom([]int8{0, 0, 0, 1, -1}).Draw(t, "hard")
		}
	}
	if len(s.Pairs) > 0 {
		for range rapid.IntRange(0, 4).Draw(t, "held") {
			ev.Held = append(ev.Held, HeldReading{
				Pair:      rapid.IntRange(0, len(s.Pairs)-1).Draw(t, "of pair"),
				HeldFirst: rapid.Bool().Draw(t, "held first"),
				Chance:    drawChance(t, "chance of the other"),
			})
		}
	}
	return ev
}

func drawParts(t *rapid.T, n int) (parts []float64, fixed []bool) {
	for range n {
		parts = append(parts, drawChance(t, "part"))
		fixed = append(fixed, rapid.IntRange(0, 3).Draw(t, "fixed") == 0)
	}
	return parts, fixed
}

func seq(n int) []int {
	s := make([]int, n)
	for i := range s {
		s[i] = i
	}
	return s
}

// fataler is what *testing.T and *rapid.T share for these checks.
type fataler interface {
	Helper()
	Fatalf(format string, args ...any)
	Errorf(format string, args ...any)
}

func near(t fataler, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: got %.12g, want %.12g", what, got, want)
	}
}

func mustCompile(t fataler, s Spec) *Graph {
	t.Helper()
	g, err := Compile(s)
	if err != nil {
		t.Fatalf("compile: %v", err)
	}
	return g
}

func mustInfer(t fataler, s Spec, ev *Evidence) *Work {
	t.Helper()
	w := mustCompile(t, s).NewWork()
	if err := w.Infer(ev); err != nil {
		t.Fatalf("infer: %v", err)
	}
	return w
}

// The join tree, the shares and all that flows along them agree with plain
// enumeration, on thousands of networks.
func TestAgreesWithEnumeration(t *testing.T) {
	for range 20 {
		rapid.Check(t, func(t *rapid.T) {
			s := drawSpec(t, 7)
			w := mustCompile(t, s).NewWork()
			for range 2 { // the second question finds used buffers
				ev := drawEvidence(t, s)
				compareWithOracle(t, w, s, ev)
			}
		})
	}
}

func compareWithOracle(t *rapid.T, w *Work, s Spec, ev *Evidence) {
	o := newOracle(s, ev)
	err := w.Infer(ev)
	if o.nothing {
		var impossible *ImpossibleError
		if !errors.As(err, &impossible) || ev.Hard[impossible.Node] == 0 {
			t.Fatalf("got %v, want an ImpossibleError that names a node with hard evidence", err)
		}
		return
	}
	if err != nil {
		t.Fatalf("infer: %v", err)
	}
	n := len(s.Background)
	parts, fixed := drawParts(t, n)
	recovers, carries := make([]float64, n), make([]float64, len(w.Edges()))
	w.Credit(parts, recovers, carries)
	row := make([]float64, n)
	for node := range n {
		near(t, "in context", w.InContext()[node], o.mean(func(c int) float64 { return o.p[c][node] }), 1e-9)
		near(t, "kept", w.Kept()[node], o.mean(func(c int) float64 { return o.kept[c][node] }), 1e-9)
		w.CreditRow(node, row)
		stays := 0.0
		for i := range n {
			near(t, "credit row", row[i], o.ends(i, node), 1e-9)
			stays += parts[i] * o.ends(i, node)
		}
		near(t, "recovers", recovers[node], stays, 1e-9)
	}
	for e, edge := range w.Edges() {
		if edge.From != o.edges[e].From || edge.To != o.edges[e].To {
			t.Fatalf("edge %d is %v, want %v", e, edge, o.edges[e])
		}
		near(t, "share", edge.Share, o.mean(func(c int) float64 { return o.shares[c][e] }), 1e-9)
		near(t, "carries", carries[e], o.carries(e, parts), 1e-9)
	}
	for p := range s.Pairs {
		near(t, "forward", w.Forward()[p], o.forward(p), 1e-9)
	}
	near(t, "gain", w.Gain(parts, fixed), o.gain(parts, fixed), 1e-9)
}

// Numbering the nodes otherwise changes the elimination, and nothing else: a
// whole throw, far beyond enumeration, summed out in many orders.
func TestOrderOfNodesDoesNotMatter(t *testing.T) {
	spec, _ := throwNetwork(t)
	n := len(spec.Background)
	w := mustCompile(t, spec).NewWork()
	rapid.Check(t, func(t *rapid.T) {
		ev := drawEvidence(t, spec)
		ev.Hard = nil
		if err := w.Infer(ev); err != nil {
			t.Fatalf("infer: %v", err)
		}
		to := rapid.Permutation(seq(n)).Draw(t, "new numbers")
		turned, turnedEv := renumber(spec, ev, to)
		other := mustInfer(t, turned, turnedEv)
		parts, _ := drawParts(t, n)
		turnedParts := make([]float64, n)
		for i := range n {
			turnedParts[to[i]] = parts[i]
			near(t, "in context", other.InContext()[to[i]], w.InContext()[i], 1e-10)
			near(t, "kept", other.Kept()[to[i]], w.Kept()[i], 1e-10)
		}
		for e := range w.Edges() {
			near(t, "share", other.Edges()[e].Share, w.Edges()[e].Share, 1e-10)
		}
		a, b := make([]float64, n), make([]float64, n)
		carries := make([]float64, len(w.Edges()))
		w.Credit(parts, a, carries)
		other.Credit(turnedParts, b, carries)
		for i := range n {
			near(t, "recovers", b[to[i]], a[i], 1e-10)
		}
	})
}

func renumber(s Spec, ev *Evidence, to []int) (Spec, *Evidence) {
	turned := Spec{Background: make([]float64, len(to))}
	turnedEv := &Evidence{Ratio: make([]float64, len(to)), Absent: make([]bool, len(to)), Held: ev.Held}
	for i, k := range to {
		turned.Background[k] = s.Background[i]
		turnedEv.Ratio[k] = ev.Ratio[i]
		turnedEv.Absent[k] = ev.Absent != nil && ev.Absent[i]
	}
	for _, l := range s.Links {
		turned.Links = append(turned.Links, Link{to[l.From], to[l.To], l.Strength})
	}
	for _, p := range s.Pairs {
		turned.Pairs = append(turned.Pairs, Pair{to[p.First], to[p.Second], p.Weight, p.Strength})
	}
	return turned, turnedEv
}

// A node that is neither linked nor seen changes nothing about the others.
func TestUnlinkedUnseenNodeChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t, 8)
		ev := drawEvidence(t, s)
		ev.Hard = nil
		before := mustInfer(t, s, ev)
		more := s
		more.Background = append(slices.Clone(s.Background), drawChance(t, "background"))
		wider := *ev
		wider.Ratio = append(slices.Clone(ev.Ratio), 1)
		if ev.Absent != nil {
			wider.Absent = append(slices.Clone(ev.Absent), false)
		}
		after := mustInfer(t, more, &wider)
		n := len(s.Background)
		for i := range n {
			near(t, "in context", after.InContext()[i], before.InContext()[i], 1e-12)
			near(t, "kept", after.Kept()[i], before.Kept()[i], 1e-12)
		}
		for e := range before.Edges() {
			near(t, "share", after.Edges()[e].Share, before.Edges()[e].Share, 1e-12)
		}
		near(t, "its own chance", after.InContext()[n], more.Background[n], 1e-12)
	})
}

// Credit is conserved, shares and background add up to 1, on a whole throw.
func TestCreditIsConserved(t *testing.T) {
	spec, _ := throwNetwork(t)
	n := len(spec.Background)
	w := mustCompile(t, spec).NewWork()
	rapid.Check(t, func(t *rapid.T) {
		ev := drawEvidence(t, spec)
		ev.Hard = nil
		if err := w.Infer(ev); err != nil {
			t.Fatalf("infer: %v", err)
		}
		parts, _ := drawParts(t, n)
		recovers, carries := make([]float64, n), make([]float64, len(w.Edges()))
		w.Credit(parts, recovers, carries)
		near(t, "sum of recovers", sum(recovers), sum(parts), 1e-9)

		whole := slices.Clone(w.Kept())
		for _, e := range w.Edges() {
			whole[e.To] += e.Share
		}
		column := make([]float64, n)
		row := make([]float64, n)
		for k := range n {
			near(t, "shares and background", whole[k], 1, 1e-9)
			w.CreditRow(k, row)
			for i, a := range row {
				column[i] += a
			}
		}
		for i := range n {
			near(t, "ends of one part", column[i], 1, 1e-9)
		}
	})
}

// Numbers at the edge of what a float64 holds give chances and conserved credit,
// or an ImpossibleError: never NaN.
func TestExtremeNumbers(t *testing.T) {
	extremes := []float64{0.5, 0, 1, 1e-300, 1e-17, 5e-324, 1 - 1e-16, 0.1}
	for range 10 {
		rapid.Check(t, func(t *rapid.T) {
			s := drawSpec(t, 10)
			extreme := func(x *float64) { *x = rapid.SampledFrom(extremes).Draw(t, "extreme") }
			for i := range s.Background {
				extreme(&s.Background[i])
			}
			for i := range s.Links {
				extreme(&s.Links[i].Strength)
			}
			for i := range s.Pairs {
				extreme(&s.Pairs[i].Strength)
				extreme(&s.Pairs[i].Weight)
			}
			ev := drawEvidence(t, s)
			w := mustCompile(t, s).NewWork()
			if err := w.Infer(ev); err != nil {
				if !errors.As(err, new(*ImpossibleError)) || ev.Hard == nil {
					t.Fatalf("infer: %v", err)
				}
				return
			}
			n := len(s.Background)
			for i, p := range w.InContext() {
				if !(p >= 0 && p <= 1) || !(w.Kept()[i] >= 0 && w.Kept()[i] <= 1+1e-12) {
					t.Fatalf("node %d: in context %v, kept %v", i, p, w.Kept()[i])
				}
			}
			parts, _ := drawParts(t, n)
			recovers, carries := make([]float64, n), make([]float64, len(w.Edges()))
			w.Credit(parts, recovers, carries)
			near(t, "sum of recovers", sum(recovers), sum(parts), 1e-9)
		})
	}
}

func sum(x []float64) (total float64) {
	for _, v := range x {
		total += v
	}
	return total
}
