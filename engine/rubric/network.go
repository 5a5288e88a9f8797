package rubric

import (
	"errors"
	"fmt"
	"strings"

	"rootcue/engine/cause"
	"rootcue/engine/shape"
)

// network compiles the cause graph and names the faults in its way.
func (c *compiler) network(root *shape.Node) {
	if len(c.r.Pairs) > cause.MaxPairs || len(c.r.Faults) == 0 {
		return
	}
	spec := cause.Spec{Background: make([]float64, len(c.r.Faults))}
	for i, f := range c.r.Faults {
		spec.Background[i] = f.Background
	}
	for _, l := range c.r.Links {
		spec.Links = append(spec.Links, cause.Link{From: l.From, To: l.To, Strength: l.Strength})
	}
	for _, p := range c.r.Pairs {
		spec.Pairs = append(spec.Pairs, cause.Pair{First: p.First, Second: p.Second, Weight: p.Weight, Strength: p.Strength})
	}
	g, err := cause.Compile(spec)
	c.r.Graph = g
	var cycle *cause.CycleError
	var wide *cause.WideError
	switch {
	case err == nil:
	case errors.As(err, &cycle):
		c.cycle(cycle.Path)
	case errors.As(err, &wide):
		c.report(root.Key("faults").Problem("too-wide", fmt.Sprintf("%d faults that hang together too closely: %s", len(wide.Nodes), strings.Join(c.names(wide.Nodes), ", ")),
			fmt.Sprintf("a cause graph that can be worked out exactly, with at most %d table cells instead of %d", cause.MaxCells, wide.Cells), "take out the weakest links among these faults"))
	default:
		c.report(root.Key("faults").Problem("network", err.Error(), "a cause graph", ""))
	}
}

// cycle reports a circle of causes at the first of its links.
func (c *compiler) cycle(path []int) {
	at := c.nodes[path[0]].Spot()
	for step := len(path) - 2; step >= 0; step-- {
		for i, l := range c.r.Links {
			if l.From == path[step] && l.To == path[step+1] {
				at = c.linkKeys[i]
			}
		}
	}
	c.report(at.Problem("cycle", "a circle of causes: "+arrows(c.names(path)), "causes that lead one way, whichever way the pairs under either_way point", "take out one of these links"))
}

func (c *compiler) names(nodes []int) []string {
	names := make([]string, len(nodes))
	for i, n := range nodes {
		names[i] = c.r.Faults[n].Name
	}
	return names
}
