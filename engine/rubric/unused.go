package rubric

import (
	"slices"

	"rootcue/engine/shape"
)

// The engine reads these itself, whether a rule does or not: the clock and the
// race against a runner.
var (
	clockMeasures = []string{"exchange_time", "flight_time", "pop_time", "throw_speed"}
	raceConstants = []string{"delivery", "tag", "lead", "reaction", "run_up", "top_speed"}
)

// unused warns about what nothing reads.
func (c *compiler) unused(root *shape.Node) {
	warn := func(section, what, name string) {
		if key := root.Get(section).Key(name); key != nil {
			c.report(key.Warning("unused-"+what, "the "+what+" "+quote(name)+", which nothing uses", "a "+what+" that is used", "it is still shown; take it out if it is not meant to be"))
		}
	}
	for i, m := range c.r.Measures {
		if !c.usedSlot[i] && !slices.Contains(clockMeasures, m.Name) {
			warn("measures", "measure", m.Name)
		}
	}
	for i, k := range c.r.Constants {
		if !c.usedSlot[c.r.Slots.Constant+i] && !slices.Contains(raceConstants, k.Name) {
			warn("constants", "constant", k.Name)
		}
	}
	for i, d := range c.r.Drills {
		if !c.usedDrill[i] {
			warn("drills", "drill", d.Name)
		}
	}
}
