package cause

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestCompileRefusesWhatIsNoNetwork(t *testing.T) {
	two := []float64{0.1, 0.1}
	for _, c := range []struct {
		name string
		spec Spec
		want string // whole text
	}{
		{"background above 1", Spec{Background: []float64{0.1, 1.5}}, "cause: background of node 1 is 1.5, want a number in [0, 1]"},
		{"background not a number", Spec{Background: []float64{math.NaN()}}, "cause: background of node 0 is NaN, want a number in [0, 1]"},
		{"strength below 0", Spec{Background: two, Links: []Link{{0, 1, -0.2}}}, "cause: strength of link 0, 0 to 1, is -0.2, want a number in [0, 1]"},
		{"link to nowhere", Spec{Background: two, Links: []Link{{0, 2, 0.2}}}, "cause: link 0 joins 0 to 2, want nodes from 0 to 1"},
		{"link from nowhere", Spec{Background: two, Links: []Link{{-1, 1, 0.2}}}, "cause: link 0 joins -1 to 1, want nodes from 0 to 1"},
		{"link twice", Spec{Background: two, Links: []Link{{0, 1, 0.2}, {0, 1, 0.3}}}, "cause: link 1 joins 0 to 1, which an earlier link does already"},
		{"pair with nowhere", Spec{Background: two, Pairs: []Pair{{0, 2, 0.5, 0.5}}}, "cause: pair 0 joins 0 and 2, want nodes from 0 to 1"},
		{"weight above 1", Spec{Background: two, Pairs: []Pair{{0, 1, 2, 0.5}}}, "cause: weight of pair 0, 0 and 1, is 2, want a number in [0, 1]"},
		{"strength of pair not a number", Spec{Background: two, Pairs: []Pair{{0, 1, 0.5, math.NaN()}}}, "cause: strength of pair 0, 0 and 1, is NaN, want a number in [0, 1]"},
		{"seven pairs", Spec{Background: two, Pairs: make([]Pair, 7)}, "cause: 7 pairs are open in direction, want at most 6"},
		{"circle", Spec{Background: two, Links: []Link{{0, 1, 0.5}, {1, 0, 0.5}}}, "cause: nodes cause each other in a circle: 0 → 1 → 0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Compile(c.spec)
			if err == nil || err.Error() != c.want {
				t.Errorf("got %v, want %s", err, c.want)
			}
		})
	}
}

func TestCycles(t *testing.T) {
	four := []float64{0.1, 0.1, 0.1, 0.1}
	for _, c := range []struct {
		name string
		spec Spec
		want []int
	}{
		{"a node and itself", Spec{Background: four, Links: []Link{{2, 2, 0.5}}}, []int{2, 2}},
		{"three links", Spec{Background: four, Links: []Link{{0, 1, 0.5}, {1, 2, 0.5}, {2, 0, 0.5}}}, []int{0, 1, 2, 0}},
		{"off the way to it", Spec{Background: four, Links: []Link{{3, 0, 0.5}, {1, 3, 0.5}, {3, 1, 0.5}}}, []int{3, 1, 3}},
		{"pair of one node", Spec{Background: four, Pairs: []Pair{{1, 1, 0.5, 0.5}}}, []int{1, 1}},
		{"pair as written", Spec{Background: four, Links: []Link{{1, 2, 0.5}}, Pairs: []Pair{{2, 1, 0.5, 0.5}}}, []int{1, 2, 1}},
		{"pair turned round", Spec{Background: four, Links: []Link{{0, 2, 0.5}, {2, 1, 0.5}}, Pairs: []Pair{{0, 1, 1, 0.5}}}, []int{0, 2, 1, 0}},
		{"the same pair twice", Spec{Background: four, Pairs: []Pair{{0, 1, 0.5, 0.5}, {0, 1, 0.5, 0.5}}}, []int{0, 1, 0}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Compile(c.spec)
			var cycle *CycleError
			if !errors.As(err, &cycle) {
				t.Fatalf("got %v, want a CycleError", err)
			}
			if !sameCircle(c.want, cycle.Path) {
				t.Errorf("path %v, want %v or the same from another start", cycle.Path, c.want)
			}
		})
	}
}

// sameCircle tells whether two closed paths differ only in where they start.
func sameCircle(a, b []int) bool {
	if len(a) != len(b) {
		return false
	}
	a, b = a[1:], b[1:]
	for range a {
		a = append(slices.Clone(a[1:]), a[0])
		if slices.Equal(a, b) {
			return true
		}
	}
	return false
}

// A circle is refused if and only if some direction has one, and the path given
// is a way along edges that exist.
func TestCyclesAreFoundWhereTheyAre(t *testing.T) {
	for range 5 {
		rapid.Check(t, func(t *rapid.T) {
			n := rapid.IntRange(2, 6).Draw(t, "nodes")
			s := Spec{Background: make([]float64, n)}
			for from := range n {
				for to := range n {
					switch rapid.IntRange(0, 11).Draw(t, "joined") {
					case 1, 2:
						s.Links = append(s.Links, Link{from, to, 0.5})
					case 3:
						if len(s.Pairs) < 3 {
							s.Pairs = append(s.Pairs, Pair{from, to, 0.5, 0.5})
						}
					}
				}
			}
			_, err := Compile(s)
			var cycle *CycleError
			if errors.As(err, &cycle) != anyCircle(s) {
				t.Fatalf("got %v, circle by search of all paths: %v", err, anyCircle(s))
			}
			if cycle == nil {
				return
			}
			path := cycle.Path
			if len(path) < 2 || path[0] != path[len(path)-1] {
				t.Fatalf("path %v is not closed", path)
			}
			for i := range len(path) - 1 {
				if !slices.ContainsFunc(s.edges(), func(e Edge) bool { return e.From == path[i] && e.To == path[i+1] }) {
					t.Fatalf("path %v: no edge from %d to %d", path, path[i], path[i+1])
				}
			}
		})
	}
}

// anyCircle multiplies reachability out for each choice of directions.
func anyCircle(s Spec) bool {
	o := &oracle{spec: s, edges: s.edges()}
	n := len(s.Background)
	for choice := range 1 << len(s.Pairs) {
		reach := make([]int, n) // bit set of nodes reached
		for range n {
			for e, edge := range o.edges {
				if o.exists(e, choice) {
					reach[edge.From] |= 1<<edge.To | reach[edge.To]
				}
			}
		}
		for node, r := range reach {
			if r>>node&1 == 1 {
				return true
			}
		}
	}
	return false
}

// fanIn has one effect of so many causes, and a pair apart from it.
func fanIn(causes, pairs int) Spec {
	s := Spec{Background: make([]float64, causes+1)}
	for i := range causes {
		s.Links = append(s.Links, Link{i + 1, 0, 0.5})
	}
	for range pairs {
		n := len(s.Background)
		s.Background = append(s.Background, 0.1, 0.1)
		s.Pairs = append(s.Pairs, Pair{n, n + 1, 0.5, 0.5})
	}
	return s
}

func TestTooWide(t *testing.T) {
	for _, c := range []struct {
		causes, pairs int
		cells         int // 0: not too wide
	}{
		{causes: 15, pairs: 0},
		{causes: 16, pairs: 0, cells: 1 << 17},
		{causes: 9, pairs: 6},
		{causes: 10, pairs: 6, cells: 1 << 17},
		{causes: 300, pairs: 0, cells: 1 << 40},
	} {
		_, err := Compile(fanIn(c.causes, c.pairs))
		var wide *WideError
		switch {
		case c.cells == 0 && err != nil:
			t.Errorf("%d causes, %d pairs: %v", c.causes, c.pairs, err)
		case c.cells > 0 && !errors.As(err, &wide):
			t.Errorf("%d causes, %d pairs: got %v, want a WideError", c.causes, c.pairs, err)
		case c.cells > 0:
			if wide.Cells != c.cells {
				t.Errorf("%d causes, %d pairs: got %d cells, want %d", c.causes, c.pairs, wide.Cells, c.cells)
			}
			if diff := cmp.Diff(seq(c.causes+1), wide.Nodes); diff != "" {
				t.Errorf("nodes (-want +got):\n%s", diff)
			}
			if !strings.Contains(err.Error(), "nodes 0, 1, 2, 3") || !strings.Contains(err.Error(), "want at most 65536") {
				t.Errorf("message: %v", err)
			}
		}
	}
}

func TestEmptyGraph(t *testing.T) {
	w := mustInfer(t, Spec{}, &Evidence{})
	if len(w.InContext()) != 0 || len(w.Edges()) != 0 {
		t.Errorf("got %v and %v, want nothing", w.InContext(), w.Edges())
	}
}

func TestEdgesAreLinksThenBothWaysOfPairs(t *testing.T) {
	w := mustInfer(t, Spec{
		Background: []float64{0.5, 0, 0},
		Links:      []Link{{0, 1, 0.5}},
		Pairs:      []Pair{{1, 2, 1, 0.5}},
	}, unseen(3))
	want := []Edge{{0, 1, 1}, {1, 2, 1}, {2, 1, 0}}
	if diff := cmp.Diff(want, w.Edges()); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
