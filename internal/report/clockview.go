package report

import (
	"html/template"
	"math"

	"rootcue/internal/report/picture"
)

// clockShown is the exchange against its goal.
type clockShown struct {
	Picture *drawing
	Says    template.HTML
	Pop     string
	Parts   []template.HTML
}

// clock shows the time lost and what it is made of; nil without an exchange or
// a goal.
func (v *view) clock() *clockShown {
	c := v.a.Clock
	if !c.Seen || !c.LostS.Known() {
		return nil
	}
	exchange, goal := v.seconds(float64(c.ExchangeS), v.uExchange()), limitText(float64(c.ReferenceS))+v.unitWord("s")
	key := "clock.slower"
	if c.LostS < 0 {
		key = "clock.faster"
	}
	out := &clockShown{Says: v.html(key, "exchange", exchange, "goal", goal, "lost", v.seconds(math.Abs(float64(c.LostS)), float64(c.ULostS)))}
	if c.PopS.Known() {
		out.Pop = v.say.say("clock.pop", "pop", v.aboutSeconds(float64(c.PopS), v.uExchange()))
	}
	var parts []float64
	for _, p := range c.Parts {
		if _, aside := v.aside[p.Fault]; p.S >= leastSeconds && !aside {
			parts = append(parts, float64(p.S))
			out.Parts = append(out.Parts, v.html("clock.part", "title", foreign(v.title(p.Fault)), "s", v.seconds(float64(p.S), float64(p.U))))
		}
	}
	d := picture.Exchange(float64(c.ReferenceS), parts, float64(c.ExchangeS), v.say.say("clock.goal", "s", goal), v.say.say("clock.seen", "s", exchange))
	out.Picture = v.draw(d, v.say.say("clock.title"), v.say.say("clock.desc"))
	return out
}
