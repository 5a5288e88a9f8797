package report

import (
	"html/template"
	"slices"
	"strings"

	"rootcue/engine/workload"
)

// cautionShown is one caution: in plain words of the reader's language first,
// then as the engine says it, where that adds something.
type cautionShown struct {
	Level  string
	Lead   string
	Says   template.HTML
	Source template.HTML
}

// toldByLead are the cautions whose plain words say all of it.
var toldByLead = []string{"standing", "workload-unknown", "other-teams", "no-catcher-limit", "caution-applies"}

// cautions are those that stop something, or all of them.
func (v *view) cautions(stopsOnly bool) []cautionShown {
	var list []cautionShown
	for _, c := range v.a.Cautions {
		if stopsOnly && !stopsSomething(c) {
			continue
		}
		shown := cautionShown{Level: v.say.say("caution.level." + string(c.Level)), Source: v.html("caution.source", "source", english(c.Source))}
		if key := v.leadOf(c.Code); key != "" {
			shown.Lead = v.say.say(key)
		}
		if shown.Lead == "" || !slices.Contains(toldByLead, c.Code) {
			shown.Says = v.html("{x}", "x", english(c.Says))
		}
		list = append(list, shown)
	}
	return list
}

// leadOf finds a caution's plain words; rules of a workload policy share theirs.
func (v *view) leadOf(code string) string {
	switch {
	case v.say.has("lead." + code):
		return "lead." + code
	case strings.HasPrefix(code, "workload-"):
		return "lead.workload"
	}
	return ""
}

// advice is the standing advice in plain words, in the order of the engine's.
func (v *view) advice() []string {
	var list []string
	for _, c := range workload.Advice {
		if key := "advice." + strings.TrimPrefix(c.Code, "advice-"); v.say.has(key) {
			list = append(list, v.say.say(key))
		}
	}
	return list
}
