package rubric

import (
	"encoding/json"
	"fmt"
	"strings"

	"rootcue/engine/shape"
)

// exampleDay is the date of examples that give none. Examples give the playing
// age itself, so any day does.
const exampleDay = "2026-05-09"

// examples reads the rubric's own tests.
func (c *compiler) examples(root *shape.Node) {
	for _, n := range root.Get("examples").Items() {
		given, expect := n.Get("given"), n.Get("expect")
		e := Example{Name: n.Get("name").String(), Line: n.Line, File: n.File()}
		c.given(given)
		if given != nil {
			e.Given = c.observation(given)
		}
		e.Faults, e.Sound = c.outcomesOf(expect.Get("faults"), true), c.outcomesOf(expect.Get("sound"), false)
		if first := expect.Get("first"); first != nil {
			c.faultNamed(first)
			e.First = first.Text
		}
		c.r.Examples = append(c.r.Examples, e)
	}
}

// outcomesOf reads names of faults and outcomes.
func (c *compiler) outcomesOf(n *shape.Node, faults bool) []string {
	var names []string
	for _, it := range n.Items() {
		if i, ok := c.faultNamed(it); ok {
			names = append(names, it.Text)
			c.expected[i] = c.expected[i] || faults
		}
	}
	return names
}

// given checks the names an example uses.
func (c *compiler) given(n *shape.Node) {
	if n == nil {
		return
	}
	if age := n.Get("age"); age != nil && c.agesSound && c.r.BandOf(age.Int(0)) < 0 {
		c.report(age.Problem("age-outside", "the age "+age.Text, "an age in one of the bands "+strings.Join(c.bandNames(), ", "), ""))
	}
	measures, reps := n.Has("measures"), n.Has("reps")
	switch {
	case measures && reps:
		c.report(n.Key("reps").Problem("one-of", "both measures and reps", "one of the two", "move the measures into a rep"))
	case !measures && !reps:
		c.report(n.Spot().Problem("one-of", "neither measures nor reps", "what was seen, under measures or reps", ""))
	}
	c.givenMeasures(n.Get("measures"))
	for _, rep := range n.Get("reps").Items() {
		c.givenMeasures(rep.Get("measures"))
		for _, held := range rep.Get("held").Items() {
			c.faultNamed(held)
		}
	}
}

func (c *compiler) givenMeasures(n *shape.Node) {
	for _, f := range n.Fields() {
		if _, ok := c.measures[f.Key.Text]; !ok {
			c.report(f.Key.Problem("unknown-measure", "the measure "+quote(f.Key.Text), c.oneOf("a measure of this rubric", c.measures), c.near(f.Key.Text, c.measures)))
		}
	}
}

// observation writes an example's `given` as a complete observation document.
func (c *compiler) observation(n *shape.Node) []byte {
	player := map[string]any{"ref": "example"}
	doc := map[string]any{"rubric": c.r.Name, "player": player, "on": exampleDay}
	for _, f := range n.Fields() {
		switch key, value := f.Key.Text, json.RawMessage(f.Value.JSON()); key {
		case "age", "stature_cm", "throws":
			player[key] = value
		case "measures":
			doc["reps"] = []any{map[string]any{"rep": 1, "measures": value}}
		case "reps":
			doc["reps"] = c.numbered(f.Value)
		default:
			doc[key] = value
		}
	}
	b, err := json.Marshal(doc)
	if err != nil {
		panic("rubric: an example is not JSON: " + err.Error())
	}
	return b
}

// numbered writes reps, numbering those that have no number.
func (c *compiler) numbered(n *shape.Node) []any {
	var reps []any
	for i, it := range n.Items() {
		rep := map[string]any{"rep": i + 1}
		for _, f := range it.Fields() {
			rep[f.Key.Text] = json.RawMessage(f.Value.JSON())
		}
		reps = append(reps, rep)
	}
	return reps
}

// exampleWarnings names the faults that no example expects.
func (c *compiler) exampleWarnings(root *shape.Node) {
	if !root.Has("examples") {
		c.report(root.Warning("no-example", "no examples", "an example for each fault", ""))
		return
	}
	for i, f := range c.r.Faults {
		if !c.expected[i] && !f.Outcome {
			c.report(c.nodes[i].Spot().Warning("no-example", "no example for "+f.Name, fmt.Sprintf("an example that expects faults: [%s]", f.Name), ""))
		}
	}
}
