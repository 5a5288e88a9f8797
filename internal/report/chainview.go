package report

import (
	"html/template"
	"slices"

	"rootcue/engine"
	"rootcue/internal/report/picture"
)

// chainsMost is how many chains the family part draws.
const chainsMost = 2

// chainShown is a chain as a picture and in words.
type chainShown struct {
	Picture *drawing
	Starts  template.HTML
	Gives   string
	Steps   []chainStep
}

// chainStep is one link in words.
type chainStep struct {
	Says    template.HTML
	Because template.HTML
	Carries string
}

// chains shows the chains of what is worked on, the first first.
func (v *view) chains(work []workShown) []chainShown {
	var list []chainShown
	for _, w := range work {
		c := v.chain(w.fault)
		if c == nil || len(list) == chainsMost {
			continue
		}
		if links := v.linksShown(c); len(links) > 0 {
			list = append(list, v.chainShown(c, links))
		}
	}
	return list
}

// linksShown are a chain's links without what the instructor set aside.
func (v *view) linksShown(c *engine.Chain) []engine.ChainLink {
	return slices.DeleteFunc(slices.Clone(c.Links), func(l engine.ChainLink) bool {
		_, from := v.aside[l.From]
		_, to := v.aside[l.To]
		return from || to
	})
}

func (v *view) chainShown(c *engine.Chain, links []engine.ChainLink) chainShown {
	out := chainShown{Starts: v.html("chain.starts", "root", foreign(v.title(c.Root)))}
	if c.RecoversS >= leastSeconds {
		out.Gives = v.say.say("chain.gives", "s", v.seconds(float64(c.RecoversS), float64(c.U)))
	}
	nodes := []string{c.Root}
	node := func(fault string) int {
		if i := slices.Index(nodes, fault); i >= 0 {
			return i
		}
		nodes = append(nodes, fault)
		return len(nodes) - 1
	}
	var arrows []picture.Link
	for _, l := range links {
		carries := v.carries(l, float64(c.U))
		arrows = append(arrows, picture.Link{From: node(l.From), To: node(l.To), Label: carries})
		step := chainStep{Says: v.html("chain.step", "from", foreign(v.title(l.From)), "to", foreign(v.title(l.To))), Because: v.inRubric(l.Because)}
		if carries != "" {
			step.Carries = v.say.say("chain.carries", "s", carries)
		}
		out.Steps = append(out.Steps, step)
	}
	titles := make([]string, len(nodes))
	for i, n := range nodes {
		titles[i] = v.title(n)
	}
	out.Picture = v.draw(picture.Chain(titles, arrows, out.Gives), v.say.say("chain.title", "root", v.title(c.Root)), v.say.say("chain.desc"))
	return out
}

// carries is the time along a link, rounded like what the root gives back.
func (v *view) carries(l engine.ChainLink, u float64) string {
	if l.CarriesS < leastSeconds {
		return ""
	}
	return rounded(float64(l.CarriesS), u) + v.unitWord("s")
}
