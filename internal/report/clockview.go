package report

import (
	"html/template"
	"math"

	"rootcue/engine/verdict"
	"rootcue/internal/report/picture"
)

// clockShown is the exchange against its goal.
type clockShown struct {
	Picture *drawing
	Says    template.HTML
	Pop     string
	Rest    string
	Parts   []template.HTML
}

// leastRest is the least time left over that is worth a sentence, s.
const leastRest = 0.02

// isThere reports a fault that was found, surely or as a close call, and not
// set aside.
func (v *view) isThere(fault string) bool {
	f := v.finding(fault)
	_, aside := v.aside[fault]
	return f != nil && !aside && (f.Verdict == verdict.Fault || f.Verdict == verdict.Close)
}

// clock shows the time lost and what it is made of; nil without an exchange or
// a goal.
func (v *view) clock() *clockShown {
	c := v.a.Clock
	if !c.Seen || !c.LostS.Known() {
		return nil
	}
	exchange, goal := v.seconds(float64(c.ExchangeS), v.uExchange()), v.aboutSeconds(float64(c.ReferenceS), leastU)
	key := "clock.slower"
	if c.LostS < 0 {
		key = "clock.faster"
	}
	out := &clockShown{Says: v.html(key, "exchange", exchange, "goal", goal, "lost", v.seconds(math.Abs(float64(c.LostS)), float64(c.ULostS)))}
	if c.PopS.Known() {
		out.Pop = v.say.say("clock.pop", "pop", v.aboutSeconds(float64(c.PopS), v.uExchange()))
	}
	var parts []float64
	rest := c.LostS
	for _, p := range c.Parts {
		if v.isThere(p.Fault) && p.S >= leastSeconds {
			rest -= p.S
			parts = append(parts, float64(p.S))
			out.Parts = append(out.Parts, v.html("clock.part", "title", foreign(v.title(p.Fault)), "s", v.seconds(float64(p.S), float64(p.U))))
		}
	}
	if rest >= leastRest {
		out.Rest = v.say.say("clock.rest", "s", v.aboutSeconds(float64(rest), float64(c.ULostS)))
	}
	d := picture.Exchange(float64(c.ReferenceS), parts, float64(c.ExchangeS), v.say.say("clock.goal", "s", goal), v.say.say("clock.seen", "s", exchange))
	out.Picture = v.draw(d, v.say.say("clock.title"), v.say.say("clock.desc"))
	return out
}
