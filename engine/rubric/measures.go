package rubric

import (
	"fmt"
	"slices"

	"rootcue/engine/formula"
	"rootcue/engine/shape"
	"rootcue/engine/unit"
)

// builtIn are the measures that every rubric has: the way of the hand, from
// the ball's marks.
var builtIn = []Measure{
	{Name: "hand_path", Title: "Way of the hand, catch to ear"},
	{Name: "straight_path", Title: "Straight line of the hand, catch to ear"},
	{Name: "low_detour", Title: "Detour of the hand through a low change"},
	{Name: "back_detour", Title: "Detour of the hand through the drawback"},
}

// taken are the words that mean something else in formulas.
func taken(name string) bool {
	return formula.Reserved(name) || slices.Contains(ConditionNames[:], name) || slices.Contains(extraNames, name)
}

// nameCheck reports names that formulas could not tell apart.
func (c *compiler) nameCheck(key *shape.Node, among map[string]int, what string) {
	if taken(key.Text) {
		c.report(key.Problem("reserved-name", "the name "+quote(key.Text), "a name that formulas do not use already", ""))
	}
	if _, twice := among[key.Text]; twice {
		c.report(key.Problem("repeated-name", "the name "+quote(key.Text)+" for a measure and a constant", "a name of its own for each "+what, ""))
	}
}

func (c *compiler) readMeasures(n *shape.Node) {
	c.measures, c.doubtful = map[string]int{}, map[int]bool{}
	for _, f := range n.Fields() {
		c.nameCheck(f.Key, c.constants, "measure")
		before := len(c.problems)
		m := c.measure(f.Key, f.Value)
		c.doubtful[len(c.r.Measures)] = before != len(c.problems) || len(f.Value.Spoilt()) > 0
		c.addMeasure(m, f.Value)
	}
	for _, key := range n.Spoilt() {
		c.doubtful[len(c.r.Measures)] = true
		c.addMeasure(Measure{Name: key.Text, Kind: Quantity, Unit: unit.Must("1")}, nil)
	}
	for _, m := range builtIn {
		if _, declared := c.measures[m.Name]; !declared {
			m.Kind, m.Unit, m.Enter, m.BuiltIn = Quantity, unit.Must("stature"), unit.Must("stature"), true
			c.addMeasure(m, nil)
		}
	}
	c.r.named = c.measures
	c.r.ExchangeMeasure = c.r.MeasureNamed("exchange_time")
}

// fromCatch are the measures timed from the catch. In a dry rep they are timed
// from the mitt's first movement instead.
var fromCatch = []string{"exchange_time", "change_time", "landing_time", "pop_time"}

func (c *compiler) addMeasure(m Measure, n *shape.Node) {
	m.FromCatch = slices.Contains(fromCatch, m.Name)
	c.measures[m.Name] = len(c.r.Measures)
	c.r.Measures = append(c.r.Measures, m)
	c.formulas = append(c.formulas, formulaNode{n.Get("formula")})
}

func (c *compiler) measure(key, n *shape.Node) Measure {
	m := Measure{Name: key.Text, Title: n.Get("title").String(), Kind: Kind(n.Get("kind").String()),
		U: n.Get("u").Float(0), Source: n.Get("source").String(), Line: key.Line, Unit: unit.Must("1")}
	if m.Kind == "" {
		m.Kind = Quantity
	}
	c.measureUnit(&m, key, n)
	c.measureRange(&m, n)
	if f := n.Get("formula"); f != nil && m.Kind != Quantity {
		c.report(n.Key("formula").Problem("not-here", "a formula for a measure of the kind "+string(m.Kind), "a formula for a quantity with a unit", ""))
	}
	c.knownDimension(n.Get("unit"), m.Name, m.Unit.Dim, clockMeasures[m.Name])
	if slices.ContainsFunc(builtIn, func(b Measure) bool { return b.Name == m.Name }) {
		c.knownDimension(n.Get("unit"), m.Name, m.Unit.Dim, unit.Share)
	}
	return m
}

// measureUnit reads the unit and the unit of entry.
func (c *compiler) measureUnit(m *Measure, key, n *shape.Node) {
	u := n.Get("unit")
	switch parsed, ok := unit.Parse(u.String()); {
	case ok && m.Kind != Quantity && parsed.Dim != unit.Ratio:
		c.report(u.Problem("wrong-unit", "the unit "+parsed.Name+" for a measure of the kind "+string(m.Kind), "no unit", "take the unit out, or the kind"))
	case ok:
		m.Unit = parsed
	case n.Has("kind") && n.Get("kind") == nil: // a kind that is none is reported already
	case m.Kind == Quantity && !n.Has("unit") && !n.Has("kind"):
		c.report(key.Problem("unit-missing", "neither unit nor kind for "+m.Name, "a unit, or kind: yes-no or grade", `a pure ratio has the unit "1"`))
	case m.Kind == Quantity && !n.Has("unit"):
		c.report(key.Problem("unit-missing", "no unit for "+m.Name, "a unit", `a pure ratio has the unit "1"`))
	}
	m.Enter = m.Unit
	e := n.Get("enter")
	if parsed, ok := unit.Parse(e.String()); ok {
		if !parsed.Matches(m.Unit) {
			c.report(e.Problem("wrong-unit", "the unit "+parsed.Name+" ("+string(parsed.Dim)+") to enter "+m.Name, unitsOf(m.Unit.Dim), ""))
		}
		m.Enter = parsed
	}
}

// measureRange reads what values are possible.
func (c *compiler) measureRange(m *Measure, n *shape.Node) {
	if p := n.Get("plausible"); p != nil {
		m.Plausible, m.HasRange = c.interval(p)
	}
	scale := n.Get("scale")
	switch {
	case m.Kind == Grade && scale != nil:
		ok := false
		if m.Scale, ok = c.interval(scale); !m.HasRange {
			m.Plausible, m.HasRange = m.Scale, ok
		}
	case m.Kind == Grade && !n.Has("scale"):
		c.report(n.Spot().Problem("missing-key", "no scale for the grade "+m.Name, "scale: [lowest, highest]", ""))
	case scale != nil:
		c.report(n.Key("scale").Problem("not-here", "a scale for a measure of the kind "+string(m.Kind), "a scale for a grade only", "add kind: grade, or use plausible"))
	}
	if p := n.Key("plausible"); p != nil && m.Kind == YesNo {
		c.report(p.Problem("not-here", "a plausible range for a yes-no measure", "a range for numbers only", ""))
	}
}

// interval reads [lowest, highest]; ok is false where it is none.
func (c *compiler) interval(n *shape.Node) (span [2]float64, ok bool) {
	it := n.Items()
	if len(it) != 2 {
		return span, false
	}
	lo, hi := it[0].Float(0), it[1].Float(0)
	if lo >= hi {
		c.report(n.Problem("reversed", fmt.Sprintf("[%s, %s]", it[0].Text, it[1].Text), "the lower number first", fmt.Sprintf("write [%s, %s]", it[1].Text, it[0].Text)))
		return span, false
	}
	return [2]float64{lo, hi}, true
}
