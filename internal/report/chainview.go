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

// chains shows the chains of what is worked on, the first first; one that is
// part of another is not told twice.
func (v *view) chains(work []workShown) []chainShown {
	var list []chainShown
	told := map[string]bool{} // faults in a chain that is already shown
	for _, w := range work {
		c := v.chain(w.fault)
		if c == nil || told[w.fault] || len(list) == chainsMost {
			continue
		}
		links := v.linksShown(c)
		if len(links) == 0 {
			continue
		}
		list = append(list, v.chainShown(c, links))
		for _, l := range links {
			told[l.To] = true
		}
	}
	return list
}

// chainDeep is how many steps from the root the family part follows.
const chainDeep = 3

// linksShown are the links that the family part shows: each effect once, by
// the way that gets there first, not what the instructor set aside, and at most
// chainDeep steps down. The fold has them all.
func (v *view) linksShown(c *engine.Chain) []engine.ChainLink {
	var shown []engine.ChainLink
	depth := map[string]int{c.Root: 0}
	for _, l := range c.Links {
		at, reached := depth[l.From]
		_, again := depth[l.To]
		_, aside := v.aside[l.To]
		if !reached || again || aside || at == chainDeep {
			continue
		}
		depth[l.To] = at + 1
		shown = append(shown, l)
	}
	return shown
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
	return v.aboutSeconds(float64(l.CarriesS), u)
}
