package rubric

import (
	"fmt"
	"slices"
	"strings"

	"rootcue/engine/shape"
	"rootcue/engine/unit"
)

// limitKinds are the keys of limits in a fault.
var limitKinds = []LimitKind{AtMost, AtLeast, Between, MustBe}

// measured reads the measure of a fault and its one limit.
func (c *compiler) measured(f *Fault, n *shape.Node) {
	m := n.Get("measure")
	if m != nil {
		i, ok := c.measures[m.Text]
		if !ok {
			c.report(m.Problem("unknown-measure", "the measure "+quote(m.Text), c.oneOf("a measure of this rubric", c.measures), c.near(m.Text, c.measures)))
		} else {
			f.Measure = i
			c.usedSlot[i] = true
		}
	}
	var found []string
	for _, k := range limitKinds {
		if !n.Has(string(k)) {
			continue
		}
		if found = append(found, string(k)); len(found) == 1 {
			c.limit(f, k, n.Key(string(k)), n.Get(string(k)))
		}
	}
	meant := slices.ContainsFunc(limitKinds, func(k LimitKind) bool { return n.Meant(string(k)) })
	switch {
	case len(found) == 0 && !meant:
		c.report(n.Spot().Problem("limit-missing", "no limit for "+f.Name, "one of at_most, at_least, between, must_be", ""))
	case len(found) > 1:
		c.twoLimits(f, n, found)
	}
}

// twoLimits reports the second limit, or the one that a change adds to an
// inherited one.
func (c *compiler) twoLimits(f *Fault, n *shape.Node, found []string) {
	first, second := n.Key(found[0]), n.Key(found[1])
	hint := "make two faults of it, or use between"
	if first.File() != second.File() {
		inherited := found[0]
		if n.File() == first.File() {
			inherited, second = found[1], first
		}
		hint = "take the inherited one out: " + inherited + ": null"
	}
	c.report(second.Problem("one-of", "the limits "+strings.Join(found, " and ")+" for "+f.Name, "one limit", hint))
}

// limit reads a limit of one kind.
func (c *compiler) limit(f *Fault, kind LimitKind, key, n *shape.Node) {
	l := &f.Limit
	l.Kind = kind
	if f.Measure >= 0 && !c.limitFits(f, kind, key) {
		return
	}
	if kind == MustBe {
		l.MustBe, l.Source = n.True() || n.Get("value").True(), n.Get("source").String()
		return
	}
	b := c.byBand(n, string(kind))
	l.Unit, l.Source = b.unit.String(), b.source.String()
	convert := c.limitUnit(f, b.unit, string(kind))
	l.Lo, l.Hi, l.Has = make([]float64, len(b.values)), make([]float64, len(b.values)), make([]bool, len(b.values))
	for i, v := range b.values {
		if v == nil || i > 0 && v == b.values[i-1] {
			if i > 0 && v != nil {
				l.Lo[i], l.Hi[i], l.Has[i] = l.Lo[i-1], l.Hi[i-1], l.Has[i-1]
			}
			continue
		}
		l.Has[i] = true
		switch kind {
		case AtMost:
			l.Hi[i] = c.bound(f, v, convert)
		case AtLeast:
			l.Lo[i] = c.bound(f, v, convert)
		case Between:
			c.interval(v)
			if it := v.Items(); len(it) == 2 {
				l.Lo[i], l.Hi[i] = c.bound(f, it[0], convert), c.bound(f, it[1], convert)
			}
		}
	}
}

// limitFits reports whether a measure of its kind can have the limit.
func (c *compiler) limitFits(f *Fault, kind LimitKind, key *shape.Node) bool {
	m := &c.r.Measures[f.Measure]
	switch {
	case c.doubtful[f.Measure]:
		return true
	case m.Kind == YesNo && kind != MustBe:
		c.report(key.Problem("wrong-limit", string(kind)+" for the yes-no measure "+m.Name, "must_be: true or false", ""))
	case m.Kind != YesNo && kind == MustBe:
		c.report(key.Problem("wrong-limit", "must_be for "+m.Name+", which is a number", "at_most, at_least or between", ""))
	default:
		return true
	}
	return false
}

// limitUnit gives the conversion from the limit's unit to the measure's.
func (c *compiler) limitUnit(f *Fault, n *shape.Node, what string) func(float64) float64 {
	if n == nil || f.Measure < 0 || c.doubtful[f.Measure] {
		return func(v float64) float64 { return v }
	}
	to := c.r.Measures[f.Measure].Unit
	from, ok := unit.Parse(n.Text)
	if ok && from.NeedsStature(to) {
		c.report(n.Problem("wrong-unit", "the unit "+from.Name+" ("+string(from.Dim)+") for "+what, "the unit "+to.Name+" of the measure", "one limit serves players of every height: write it in "+to.Name))
		return func(v float64) float64 { return v }
	}
	from = c.sameDimension(n, what, to)
	return func(v float64) float64 { return from.Convert(v, to, 0) }
}

// bound reads one number of a limit and holds it against what the measure can
// be.
func (c *compiler) bound(f *Fault, n *shape.Node, convert func(float64) float64) float64 {
	v := convert(n.Float(0))
	if n == nil || f.Measure < 0 {
		return v
	}
	if m := &c.r.Measures[f.Measure]; m.HasRange && (v < m.Plausible[0] || v > m.Plausible[1]) {
		c.report(n.Problem("implausible-limit", fmt.Sprintf("the limit %s for %s", n.Text, m.Name),
			fmt.Sprintf("a number within what is plausible for it, %s to %s %s", number(m.Plausible[0]), number(m.Plausible[1]), m.Unit.Name), "mend the limit, or plausible"))
	}
	return v
}
