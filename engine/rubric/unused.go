package rubric

import (
	"rootcue/engine/shape"
	"rootcue/engine/unit"
)

// The engine reads these itself, whether a rule does or not: the clock and the
// race against a runner.
var (
	clockMeasures = map[string]unit.Dimension{"exchange_time": unit.Time, "flight_time": unit.Time, "pop_time": unit.Time, "throw_speed": unit.Speed}
	// Read off marks or stated to say how the throw went: shown, and not judged
	// unless a rule does.
	shownMeasures = map[string]bool{"bounced": true, "arrival_height": true, "hip_height_plant": true}
	raceConstants = map[string]unit.Dimension{"delivery": unit.Time, "tag": unit.Time, "lead": unit.Length, "reaction": unit.Time, "run_up": unit.Time, "top_speed": unit.Speed}
)

// knownDimension holds the unit of a name that the engine reads itself against
// what it takes it for. n is the node of the unit.
func (c *compiler) knownDimension(n *shape.Node, name string, is, wanted unit.Dimension) {
	if n != nil && wanted != "" && is != wanted {
		c.report(n.Problem("wrong-unit", "the unit "+n.Text+" ("+string(is)+") for "+name, unitsOf(wanted), "the clock and the race read "+name+" by its name"))
	}
}

// unused warns about what nothing reads.
func (c *compiler) unused(root *shape.Node) {
	warn := func(section, what, name string) {
		if key := root.Get(section).Key(name); key != nil {
			c.report(key.Warning("unused-"+what, "the "+what+" "+quote(name)+", which nothing uses", "a "+what+" that is used", "it is still shown; take it out if it is not meant to be"))
		}
	}
	for i, m := range c.r.Measures {
		if !c.usedSlot[i] && clockMeasures[m.Name] == "" && !shownMeasures[m.Name] {
			warn("measures", "measure", m.Name)
		}
	}
	for i, k := range c.r.Constants {
		if !c.usedSlot[c.r.Slots.Constant+i] && raceConstants[k.Name] == "" {
			warn("constants", "constant", k.Name)
		}
	}
	for i, d := range c.r.Drills {
		if !c.usedDrill[i] {
			warn("drills", "drill", d.Name)
		}
	}
}
