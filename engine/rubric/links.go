package rubric

import (
	"rootcue/engine/cause"
	"rootcue/engine/shape"
)

// links reads what a fault leads to.
func (c *compiler) links(from int) {
	for _, f := range c.nodes[from].Get("leads_to").Fields() {
		to, ok := c.faultNamed(f.Key)
		switch {
		case !ok:
		case to == from:
			c.report(f.Key.Problem("self-link", "a link from "+quote(f.Key.Text)+" to itself", "a link to another fault or outcome", ""))
		default:
			c.r.Links = append(c.r.Links, Link{From: from, To: to, Strength: c.strength(f.Value.Get("strength"), 0), Because: f.Value.Get("because").String()})
			c.linkKeys = append(c.linkKeys, f.Key)
		}
	}
}

// faultNamed finds the fault or outcome that a node names.
func (c *compiler) faultNamed(n *shape.Node) (int, bool) {
	if n == nil {
		return 0, false
	}
	i, ok := c.faults[n.Text]
	if !ok {
		c.report(n.Problem("unknown-fault", "the fault "+quote(n.Text), c.oneOf("a fault or outcome of this rubric", c.faults), c.near(n.Text, c.faults)))
	}
	return i, ok && i != spoilt
}

// pairs reads the pairs whose direction is not settled.
func (c *compiler) pairs(n *shape.Node) {
	items := n.Items()
	if len(items) > cause.MaxPairs {
		c.report(items[cause.MaxPairs].Problem("too-many-pairs", number(float64(len(items)))+" pairs", "at most "+number(cause.MaxPairs), "settle some of them: a fault that surely comes first goes into leads_to"))
	}
	for _, it := range items {
		both := it.Get("between").Items()
		if len(both) != 2 {
			continue
		}
		first, ok1 := c.faultNamed(both[0])
		second, ok2 := c.faultNamed(both[1])
		if ok1 && ok2 && c.pairIsNew(first, second, it.Get("between")) {
			p := Pair{First: first, Second: second, Weight: it.Get("weight").Float(0), Strength: c.strength(it.Get("strength"), 0),
				SettleBy: it.Get("settle_by").String(), Because: it.Get("because").String()}
			p.Hold = c.hold(it.Get("hold"), first, second)
			c.r.Pairs = append(c.r.Pairs, p)
		}
	}
}

// pairIsNew holds a pair against itself, the pairs before it and the links.
func (c *compiler) pairIsNew(first, second int, n *shape.Node) bool {
	same := func(a, b int) bool { return a == first && b == second || a == second && b == first }
	name := quote(c.r.Faults[first].Name) + " and " + quote(c.r.Faults[second].Name)
	if first == second {
		c.report(n.Problem("self-link", "a pair of "+quote(c.r.Faults[first].Name)+" with itself", "two different faults", ""))
		return false
	}
	for _, p := range c.r.Pairs {
		if same(p.First, p.Second) {
			c.report(n.Problem("repeated-link", "the pair "+name+" again", "each pair once", ""))
			return false
		}
	}
	for i, l := range c.r.Links {
		if same(l.From, l.To) {
			c.report(n.Problem("repeated-link", "the pair "+name+", joined by leads_to in line "+number(float64(c.linkKeys[i].Line))+" too", "a link or a pair, not both", "keep leads_to if the direction is settled"))
			return false
		}
	}
	return true
}

// hold reads which of the two is kept away in the settling test, -1 unstated.
func (c *compiler) hold(n *shape.Node, first, second int) int {
	if n == nil {
		return -1
	}
	for _, i := range []int{first, second} {
		if c.r.Faults[i].Name == n.Text {
			return i
		}
	}
	names := []string{c.r.Faults[first].Name, c.r.Faults[second].Name}
	c.report(n.Problem("unknown-fault", "hold: "+n.Text, "one of the pair, "+names[0]+" or "+names[1], shape.DidYouMean(n.Text, names)))
	return -1
}
