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
		lead, says := PlainCaution(string(v.say), c)
		if shown.Lead = lead; says != "" {
			shown.Says = v.html("{x}", "x", english(says))
		}
		list = append(list, shown)
	}
	return list
}

// leadOf finds a caution's plain words; rules of a workload policy share theirs.
func (w words) leadOf(code string) string {
	switch {
	case w.has("lead." + code):
		return "lead." + code
	case strings.HasPrefix(code, "workload-"):
		return "lead.workload"
	}
	return ""
}

// advice is the standing advice in plain words, in the order of the engine's.
func (w words) advice() []string {
	var list []string
	for _, c := range workload.Advice {
		if key := "advice." + strings.TrimPrefix(c.Code, "advice-"); w.has(key) {
			list = append(list, w.say(key))
		}
	}
	return list
}

// Advice is the standing advice in plain words of a language.
func Advice(lang string) []string { return words(lang).advice() }

// PlainCaution is a caution in plain words of a language, "" where there are
// none, and what the engine says besides, "" where the plain words say all.
func PlainCaution(lang string, c workload.Caution) (lead, says string) {
	key := words(lang).leadOf(c.Code)
	if key == "" {
		return "", c.Says
	}
	if lead = words(lang).say(key); slices.Contains(toldByLead, c.Code) {
		return lead, ""
	}
	return lead, c.Says
}
