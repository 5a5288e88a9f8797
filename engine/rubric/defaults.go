package rubric

import (
	"rootcue/engine/shape"
	"rootcue/engine/unit"
)

// conditions reads the defaults of the circumstances, for each band.
func (c *compiler) conditions(n *shape.Node) {
	c.r.Conditions = make([]Conditions, len(c.r.Bands))
	c.r.BasePathUnit = unit.Must("m")
	for cond := range ConditionCount {
		name := ConditionNames[cond]
		v := n.Get(name)
		if v == nil {
			continue
		}
		b := c.byBand(v, name)
		factor := unit.Must("m")
		if cond == BasePath {
			factor = c.unitOf(v, b.unit, name, factor)
			c.r.BasePathUnit = factor
		}
		for i, node := range b.values {
			if node != nil {
				c.r.Conditions[i].set(cond, node, factor)
			}
		}
	}
	for _, v := range n.Get("base_path").Fields() {
		if v.Value.Kind == shape.Number && v.Value.Number <= 0 {
			c.report(v.Value.Problem("out-of-range", "a base path of "+v.Value.Text, "a length above 0", ""))
		}
	}
}

// set stores the value of one condition; the form check has seen to its kind.
func (k *Conditions) set(cond Condition, n *shape.Node, length unit.Unit) {
	k.Seen[cond] = true
	switch cond {
	case BasePath:
		k.BasePath = length.ToSI(n.Number)
	case ThrowTo:
		k.ThrowTo = WordNamed(cond, n.Text)
	case Ball:
		k.Ball = WordNamed(cond, n.Text)
	case Stance:
		k.Stance = WordNamed(cond, n.Text)
	case Pitch:
		k.Pitch = WordNamed(cond, n.Text)
	case Batter:
		k.Batter = WordNamed(cond, n.Text)
	case RunnerMayLead:
		k.RunnerMayLead = n.Bool
	case Thrown:
		k.Thrown = n.Bool
	}
}

// unitOf reads the unit that stands beside a value. Without one it is a slip;
// so is one of another dimension than wanted.
func (c *compiler) unitOf(at, n *shape.Node, what string, wanted unit.Unit) unit.Unit {
	if n == nil {
		if !at.Has("unit") {
			c.report(at.Problem("unit-missing", "no unit for "+what, unitsOf(wanted.Dim), "write {value: …, unit: "+wanted.Name+"}"))
		}
		return wanted
	}
	return c.sameDimension(n, what, wanted)
}

// sameDimension reads a unit that must measure the same as wanted.
func (c *compiler) sameDimension(n *shape.Node, what string, wanted unit.Unit) unit.Unit {
	u, ok := unit.Parse(n.Text)
	if !ok {
		return wanted
	}
	if u.Dim != wanted.Dim {
		c.report(n.Problem("wrong-unit", "the unit "+u.Name+" ("+string(u.Dim)+") for "+what, unitsOf(wanted.Dim), ""))
		return wanted
	}
	return u
}
