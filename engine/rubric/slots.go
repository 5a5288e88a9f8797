package rubric

import (
	"slices"

	"rootcue/engine/formula"
)

// extraNames are what formulas read beside measures, constants and
// conditions, in the order of their slots.
var extraNames = []string{"throw_distance", "age", "stature", "limit"}

// slots lays out the inputs of formulas: measures, constants, conditions, then
// extraNames.
func (c *compiler) slots() {
	r, env := c.r, &formula.Env{Funcs: c.r.functions()}
	for _, m := range r.Measures {
		kind := formula.Number
		if m.Kind == YesNo {
			kind = formula.Bool
		}
		env.Names = append(env.Names, formula.Name{Name: readAs(m.Name), Kind: kind})
	}
	r.Slots = Slots{Constant: len(env.Names)}
	for _, k := range r.Constants {
		env.Names = append(env.Names, formula.Name{Name: k.Name, Kind: formula.Number})
	}
	r.Slots.Condition = len(env.Names)
	for cond := range ConditionCount {
		env.Names = append(env.Names, conditionName(cond))
	}
	r.Slots.Distance = len(env.Names)
	for _, name := range extraNames {
		env.Names = append(env.Names, formula.Name{Name: name, Kind: formula.Number})
	}
	r.Slots.Age, r.Slots.Stature, r.Slots.Limit = r.Slots.Distance+1, r.Slots.Distance+2, r.Slots.Distance+3
	r.Slots.Count, r.Slots.Env = len(env.Names), env
	c.usedSlot = make([]bool, r.Slots.Count)
}

// readAs is the name formulas read a measure by. The measure flight_time has
// the name of a function, which wins: no expression can read the measure.
func readAs(name string) string {
	if slices.Contains(functionNames, name) {
		return name + " (the measure)"
	}
	return name
}

func conditionName(cond Condition) formula.Name {
	n := formula.Name{Name: ConditionNames[cond], Kind: formula.Bool}
	switch {
	case cond == BasePath:
		n.Kind = formula.Number
	case Enumerations[cond] != nil:
		n.Kind, n.Values = formula.Enum, Enumerations[cond]
	}
	return n
}
