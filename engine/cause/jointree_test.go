package cause

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// Smallest degree first, lowest number on ties: on a square 0–1–2–3 all have two
// neighbours, so 0 goes first and joins 1 to 3.
func TestEliminationOrder(t *testing.T) {
	for _, c := range []struct {
		name       string
		scopes     [][]int
		order      []int
		neighbours [][]int
	}{
		{"square", [][]int{{0, 1}, {1, 2}, {2, 3}, {3, 0}}, []int{0, 1, 2, 3}, [][]int{{1, 3}, {2, 3}, {3}, nil}},
		{"star", [][]int{{0}, {1, 0}, {2, 0}, {3, 0}}, []int{1, 2, 0, 3}, [][]int{{3}, {0}, {0}, nil}},
		{"parents are joined", [][]int{{0, 1, 2}, {1}, {2}}, []int{0, 1, 2}, [][]int{{1, 2}, {2}, nil}},
		{"alone", [][]int{{0}, {1}}, []int{0, 1}, [][]int{nil, nil}},
	} {
		e, err := eliminate(c.scopes, MaxCells)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(elimination{c.order, c.neighbours}, e, cmp.AllowUnexported(elimination{})); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
}

// What makes a tree of cliques a join tree, on random networks.
func TestJoinTree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, d := range mustCompile(t, drawSpec(t, 12)).directions {
			checkJoinTree(t, d)
		}
	})
}

func TestJoinTreeOfThrow(t *testing.T) {
	spec, _ := throwNetwork(t)
	for _, d := range mustCompile(t, spec).directions {
		checkJoinTree(t, d)
	}
}

func checkJoinTree(t fataler, d *direction) {
	tr := d.tree
	families, summedOut := make([]int, tr.nodes), make([]int, tr.nodes)
	for i, c := range tr.cliques {
		for _, f := range c.families {
			families[f.node]++
			for _, cause := range d.causes[f.node] {
				if !slices.Contains(c.nodes, cause.from) {
					t.Fatalf("clique %d has family %d without its cause %d", i, f.node, cause.from)
				}
			}
		}
		for _, node := range c.nodes[:c.own] {
			summedOut[node]++
		}
		if c.parent < 0 {
			if c.own != len(c.nodes) {
				t.Fatalf("root %d leaves %v", i, c.nodes[c.own:])
			}
			continue
		}
		if c.parent <= i {
			t.Fatalf("parent %d of clique %d comes before it", c.parent, i)
		}
		// Running intersection: what goes up is all that is met again.
		parent := tr.cliques[c.parent]
		for _, node := range c.nodes[c.own:] {
			if !slices.Contains(parent.nodes, node) {
				t.Fatalf("node %d of clique %d is not in its parent", node, i)
			}
		}
	}
	for node := range tr.nodes {
		if families[node] != 1 || summedOut[node] != 1 {
			t.Fatalf("node %d: %d families, summed out %d times; want once each", node, families[node], summedOut[node])
		}
	}
	for i, c := range tr.cliques {
		for k, other := range tr.cliques {
			if i != k && other.holds(c.nodes) {
				t.Fatalf("clique %v lies within %v", c.nodes, other.nodes)
			}
		}
	}
}

// Compiling twice gives the same trees: no map order anywhere.
func TestCompileIsRepeatable(t *testing.T) {
	spec, _ := throwNetwork(t)
	a, b := mustCompile(t, spec), mustCompile(t, spec)
	for i := range a.directions {
		if diff := cmp.Diff(a.directions[i], b.directions[i],
			cmp.AllowUnexported(direction{}, cause{}, tree{}, clique{}, placed{})); diff != "" {
			t.Fatalf("direction %d:\n%s", i, diff)
		}
	}
}
