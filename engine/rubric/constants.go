package rubric

import (
	"rootcue/engine/shape"
	"rootcue/engine/unit"
)

func (c *compiler) readConstants(n *shape.Node) {
	c.constants = map[string]int{}
	for _, f := range n.Fields() {
		c.nameCheck(f.Key, nil, "constant")
		k := Constant{Name: f.Key.Text, Line: f.Key.Line}
		b := c.byBand(f.Value, k.Name)
		k.ByBand, k.U, k.Source = floats(b.values), b.u.Float(0), b.source.String()
		u, ok := unit.Parse(b.unit.String())
		if !ok {
			u = unit.Must("1")
			if !f.Value.Has("unit") {
				c.report(f.Key.Problem("unit-missing", "no unit for "+k.Name, "a unit", `write {value: …, unit: s}; a pure ratio has the unit "1"`))
			}
		}
		k.Unit = u
		c.knownDimension(b.unit, k.Name, u.Dim, raceConstants[k.Name])
		c.constants[k.Name] = len(c.r.Constants)
		c.r.Constants = append(c.r.Constants, k)
	}
	for _, key := range n.Spoilt() {
		c.constants[key.Text] = len(c.r.Constants)
		c.r.Constants = append(c.r.Constants, Constant{Name: key.Text, Unit: unit.Must("1")})
	}
}

// reference reads the goal of the clock.
func (c *compiler) reference(n *shape.Node) {
	v := n.Get("exchange_time")
	if v == nil {
		return
	}
	b := c.byBand(v, "exchange_time")
	second := unit.Must("s")
	if b.unit != nil {
		second = c.sameDimension(b.unit, "exchange_time", second)
	}
	r := &Reference{ByBand: floats(b.values), U: second.ToSI(b.u.Float(0)), Source: b.source.String()}
	for i := range r.ByBand {
		r.ByBand[i] = second.ToSI(r.ByBand[i])
	}
	c.r.Reference = r
	if _, ok := c.measures["exchange_time"]; !ok {
		c.report(n.Key("exchange_time").Problem("unknown-measure", "a goal for exchange_time", "a measure exchange_time to hold against it", "declare exchange_time under measures, or take reference out"))
	}
}
