package rubric

import "rootcue/engine/shape"

func (c *compiler) readDrills(n *shape.Node) {
	c.drills = map[string]int{}
	for _, f := range n.Fields() {
		d := Drill{Name: f.Key.Text, Title: f.Value.Get("title").String(), How: f.Value.Get("how").String(), Dose: f.Value.Get("dose").String(),
			Throws: f.Value.Get("throws").Int(0), Minutes: f.Value.Get("minutes").Float(0), Places: f.Value.Get("places").Int(1),
			Helper: f.Value.Get("helper").True(), Source: f.Value.Get("source").String(), Line: f.Key.Line}
		if d.Title == "" {
			d.Title = d.Name
		}
		for _, k := range f.Value.Get("kit").Items() {
			d.Kit = append(d.Kit, k.Text)
		}
		c.drills[d.Name] = len(c.r.Drills)
		c.r.Drills = append(c.r.Drills, d)
	}
	for _, key := range n.Spoilt() {
		c.drills[key.Text] = spoilt
	}
	c.usedDrill = make([]bool, len(c.r.Drills))
}
