package rubric

import (
	"rootcue/engine/formula"
	"rootcue/engine/place"
	"rootcue/engine/shape"
)

// formulaNode is where a measure's formula stands; nil without one.
type formulaNode struct{ *shape.Node }

// expression compiles one expression and reports its slips in the coordinates
// of the file. refused names slots it must not read, with the reason.
func (c *compiler) expression(n *shape.Node, want formula.Kind, refused func(slot int) string) *formula.Program {
	if n == nil {
		return nil
	}
	p, issues := formula.Compile(n.Text, want, c.r.Slots.Env)
	for _, i := range issues {
		line, column := n.At(i.Offset)
		c.report(place.Problem{Code: i.Code, File: n.File(), Line: line, Column: column, Found: i.Found, Wanted: i.Wanted, Hint: i.Hint})
	}
	if p == nil {
		return nil
	}
	for _, slot := range p.Reads() {
		c.usedSlot[slot] = true
		if why := refused(slot); why != "" {
			c.report(n.Problem("not-here", "the name "+quote(c.r.Slots.Env.Names[slot].Name)+" in "+quote(n.Text), why, ""))
		}
	}
	return p
}

// noLimit refuses `limit` where there is no number for it.
func (c *compiler) noLimit(slot int) string {
	if slot == c.r.Slots.Limit {
		return "limit only in the costs of a fault whose measure has one as a number"
	}
	return ""
}

// onlyCircumstances keeps `only_if` to what is known before anything is seen.
func (c *compiler) onlyCircumstances(slot int) string {
	if slot < c.r.Slots.Constant {
		return "a condition on the circumstances: conditions, age, stature, throw_distance and constants"
	}
	return c.noLimit(slot)
}

// compileFormulas compiles derived measures and puts them into the order in
// which they can be worked out.
func (c *compiler) compileFormulas() {
	for i := range c.r.Measures {
		if f := c.formulas[i]; f.Node != nil && c.r.Measures[i].Kind == Quantity {
			c.r.Measures[i].Formula = c.expression(f.Node, formula.Number, c.noLimit)
		}
	}
	state := make([]int, len(c.r.Measures))
	for i := range c.r.Measures {
		c.orderFormula(i, state, nil)
	}
}

// States of a measure while formulas are put into order.
const (
	unvisited = iota
	visiting
	done
)

// orderFormula visits what a formula reads before it; path is how it was
// reached.
func (c *compiler) orderFormula(i int, state []int, path []int) {
	m := &c.r.Measures[i]
	if m.Formula == nil || state[i] == done {
		return
	}
	if state[i] == visiting {
		c.formulaCycle(i, path)
		return
	}
	state[i] = visiting
	for _, slot := range m.Formula.Reads() {
		if slot < c.r.Slots.Constant {
			c.orderFormula(slot, state, append(path, i))
		}
	}
	state[i] = done
	c.r.Formulas = append(c.r.Formulas, i)
}

func (c *compiler) formulaCycle(i int, path []int) {
	var names []string
	for _, p := range path {
		if p == i || len(names) > 0 {
			names = append(names, c.r.Measures[p].Name)
		}
	}
	names = append(names, c.r.Measures[i].Name)
	c.report(c.formulas[i].Problem("formula-cycle", "a circle of formulas: "+arrows(names), "formulas that do not read themselves", ""))
}
