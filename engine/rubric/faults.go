package rubric

import (
	"fmt"
	"slices"
	"strings"

	"rootcue/engine/formula"
	"rootcue/engine/shape"
	"rootcue/engine/verdict"
)

// declareFaults lists faults, then outcomes, so that links can name any.
func (c *compiler) declareFaults(faults, outcomes *shape.Node) {
	c.faults = map[string]int{}
	for k, n := range []*shape.Node{faults, outcomes} {
		for _, f := range n.Fields() {
			if _, twice := c.faults[f.Key.Text]; twice {
				c.report(f.Key.Problem("repeated-name", "the outcome "+quote(f.Key.Text)+", which is a fault too", "a name of its own for each fault and outcome", ""))
				continue
			}
			c.faults[f.Key.Text] = len(c.r.Faults)
			c.r.Faults = append(c.r.Faults, Fault{Name: f.Key.Text, Outcome: k == 1, Line: f.Key.Line})
			c.nodes = append(c.nodes, f.Value)
		}
		for _, key := range n.Spoilt() {
			c.faults[key.Text] = spoilt
		}
	}
	c.expected = make([]bool, len(c.r.Faults))
}

// spoilt stands for the index of what is declared with a slip: it may be named
// without a second one.
const spoilt = -1

// fault reads one fault or outcome.
func (c *compiler) fault(i int) {
	f, n := &c.r.Faults[i], c.nodes[i]
	f.Title, f.Cue, f.Praise, f.Source = n.Get("title").String(), n.Get("cue").String(), n.Get("praise").String(), n.Get("source").String()
	f.ArmLoad, f.Safety = n.Get("arm_load").True(), n.Get("safety").True()
	f.Background = c.strength(n.Get("background"), 0.05)
	f.Measure = -1
	if c.basis(f, n) {
		c.measured(f, n)
	}
	f.When = c.expression(n.Get("when"), formula.Bool, c.noLimit)
	c.fewInputs(f.When, n.Get("when"))
	f.OnlyIf = c.expression(n.Get("only_if"), formula.Bool, c.onlyCircumstances)
	f.Costs = c.expression(n.Get("costs"), formula.Number, func(slot int) string {
		if f.Limit.Kind == "" || f.Limit.Kind == MustBe {
			return c.noLimit(slot)
		}
		return ""
	})
	f.Reads = readsOf(f.When, f.Costs)
	c.links(i)
	c.faultDrills(f, n.Get("drills"))
	c.completeness(f, n)
}

// fewInputs refuses a condition that reads more uncertain inputs than the fixed
// draws it is judged by have dimensions. Yes-no measures and conditions are
// certain.
func (c *compiler) fewInputs(when *formula.Program, n *shape.Node) {
	if when == nil {
		return
	}
	count := 0
	for _, slot := range when.Reads() {
		measured := slot < c.r.Slots.Constant && c.r.Measures[slot].Kind != YesNo
		if measured || slot >= c.r.Slots.Constant && slot < c.r.Slots.Condition || slot == c.r.Slots.Stature {
			count++
		}
	}
	if count > verdict.MostInputs {
		c.report(n.Problem("too-many-inputs", fmt.Sprintf("a condition that reads %d measures and constants", count), fmt.Sprintf("at most %d", verdict.MostInputs), "put a part of it into a measure with a formula"))
	}
}

// readsOf lists the slots that programs read, sorted, each once.
func readsOf(programs ...*formula.Program) (slots []int) {
	for _, p := range programs {
		if p != nil {
			slots = append(slots, p.Reads()...)
		}
	}
	slices.Sort(slots)
	return slices.Compact(slots)
}

// basis reports whether the fault rests on a measure; it must rest on that or
// on a condition.
func (c *compiler) basis(f *Fault, n *shape.Node) bool {
	measure, when := n.Has("measure"), n.Has("when")
	switch {
	case measure && when:
		c.report(n.Key("when").Problem("one-of", "both measure and when", "one of the two", "take one out"))
	case !n.Meant("measure") && !n.Meant("when"):
		c.report(n.Spot().Problem("one-of", "neither measure nor when for "+f.Name, "a measure with one limit, or a condition under when", ""))
	}
	for _, k := range limitKinds {
		if key := n.Key(string(k)); key != nil && when && !measure {
			c.report(key.Problem("not-here", "a limit beside when", "a limit beside measure only", "put the limit into the condition"))
		}
	}
	return measure
}

// strengthOf gives the chances the words stand for, in their order.
var strengthOf = map[string]float64{"rarely": 0.1, "sometimes": 0.3, "often": 0.6, "nearly-always": 0.85}

// strength reads a chance, as a number or a word.
func (c *compiler) strength(n *shape.Node, otherwise float64) float64 {
	if n != nil && n.Kind == shape.Text {
		return strengthOf[n.Text]
	}
	return n.Float(otherwise)
}

// completeness reports what a fault should have but can do without, and the
// source that a word about a player's arm needs.
func (c *compiler) completeness(f *Fault, n *shape.Node) {
	if f.ArmLoad && f.Source == "" && f.Limit.Source == "" {
		c.report(n.Key("arm_load").Problem("source-missing", "arm_load without a source for "+f.Name, "a source: who says that it bears on the arm", "write source: common practice, if that is all there is"))
	}
	if f.Outcome {
		return
	}
	for _, key := range []string{"cue", "praise"} {
		if n.Key(key) == nil && !n.Meant(key) {
			c.report(n.Spot().Warning("no-"+key, "no "+key+" for "+f.Name, "a "+key, ""))
		}
	}
}

func (c *compiler) faultDrills(f *Fault, n *shape.Node) {
	for _, it := range n.Items() {
		d, ok := c.drills[it.Text]
		if !ok {
			c.report(it.Problem("unknown-drill", "the drill "+quote(it.Text), c.oneOf("a drill of this rubric", c.drills), c.near(it.Text, c.drills)))
			continue
		}
		if d != spoilt {
			c.usedDrill[d] = true
			f.Drills = append(f.Drills, d)
		}
	}
}

// oneOf lists the names that may be used, where they are few.
func (c *compiler) oneOf(what string, names map[string]int) string {
	if len(names) == 0 || len(names) > 8 {
		return what
	}
	return what + ": " + strings.Join(sortedKeys(names), ", ")
}
