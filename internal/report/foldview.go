package report

import (
	"html/template"
	"strings"

	"rootcue/engine"
	"rootcue/internal/report/rounding"
)

// chanceOutFrom is the age from which an instructor's page shows the chance of an
// out.
const chanceOutFrom = 11

// foldShown is every number with the way back to its rule and inputs.
type foldShown struct {
	Rubric   string
	Stature  string
	Findings []findingShown
	Measures []template.HTML
	Times    []template.HTML
	Chains   []foldChain
	After    []template.HTML
	Notes    []template.HTML
	Cautions []template.HTML
}

// findingShown is one finding in full.
type findingShown struct {
	ID    string
	Title template.HTML
	Aside template.HTML
	Lines []labelled
}

// foldChain is one chain in full.
type foldChain struct {
	Says  template.HTML
	Links []template.HTML
}

func (v *view) fold() foldShown {
	r := v.a.Rubric
	f := foldShown{Rubric: v.say.say("fold.rubric", "name", r.Name, "version", number(r.Version), "sha", r.SHA256)}
	if v.a.Player.StatureM.Known() {
		f.Stature = v.say.say("fold.stature", "value", limitText(100*float64(v.a.Player.StatureM))+v.unitWord("cm"))
	}
	for i := range v.a.Findings {
		f.Findings = append(f.Findings, v.findingShown(&v.a.Findings[i]))
	}
	for i := range v.a.Measures {
		f.Measures = append(f.Measures, v.measureShown(&v.a.Measures[i]))
	}
	f.Times, f.After = v.times(), v.after()
	for i := range v.a.Chains {
		f.Chains = append(f.Chains, v.foldChain(&v.a.Chains[i]))
	}
	for _, n := range v.a.Notes {
		f.Notes = append(f.Notes, v.html("{x}", "x", english(n.Says)))
	}
	for _, l := range v.a.LookNext {
		f.Notes = append(f.Notes, v.html("{a}: {b}", "a", foreign(v.title(l.Fault)), "b", english(l.Says)))
	}
	for _, c := range v.a.Cautions {
		f.Cautions = append(f.Cautions, v.html("{says} ({source})", "says", english(c.Says), "source", english(c.Source)))
	}
	return f
}

// findingID is the place of a finding's numbers on the page.
func (v *view) findingID(fault string) string {
	for i := range v.a.Findings {
		if v.a.Findings[i].Fault == fault {
			return "finding-" + number(i+1)
		}
	}
	return ""
}

func (v *view) findingShown(f *engine.Finding) findingShown {
	out := findingShown{ID: v.findingID(f.Fault), Title: v.inRubric(f.Title)}
	if reason, aside := v.aside[f.Fault]; aside {
		out.Aside = v.html("review.set-aside", "title", foreign(f.Title), "reason", reason)
	}
	add := func(key string, value template.HTML) {
		if value != "" {
			out.Lines = append(out.Lines, labelled{v.say.say(key), value})
		}
	}
	add("fold.verdict", v.html("verdict."+string(f.Verdict)))
	if f.Chance != nil {
		add("fold.chance", v.percent(*f.Chance))
	}
	add("fold.in-context", v.percent(f.InContext))
	add("fold.reads", v.reads(f))
	add("fold.rule", v.html("{rule} (", "rule", english(RuleInWords(f.Why.Rule, v.knownMeasure)))+v.html("fold.line", "n", number(f.Why.Line), "band", f.Why.Band)+")")
	if own := ownRead(f); own != nil && f.PastBy.Known() {
		add("fold.past", v.html("{x}", "x", v.amount(v.displayOf(own.Name, own.Unit), float64(f.PastBy), float64(own.U))))
	}
	if f.InReps != nil {
		add("fold.reps", v.html("{x}", "x", *f.InReps))
	}
	if f.CostsS.Known() {
		add("fold.costs", v.html("{x}", "x", v.seconds(float64(f.CostsS), float64(f.UCostsS))))
	}
	add("fold.source", v.html("{x}", "x", foreign(f.Why.Source)))
	add("fold.clips", v.html("{x}", "x", strings.Join(f.Why.Clips, ", ")))
	return out
}

// percent writes a chance; 0 and 1 are never quite reached.
func (v *view) percent(p engine.Number) template.HTML {
	switch {
	case !p.Known():
		return ""
	case p > 0.995 && p < 1:
		return "&gt; 99 %"
	case p < 0.005 && p > 0:
		return "&lt; 1 %"
	}
	return v.html("{n} %", "n", rounding.Value(100*float64(p), 3))
}

// reads lists the inputs of a rule.
func (v *view) reads(f *engine.Finding) template.HTML {
	var list []string
	for _, r := range f.Why.Reads {
		list = append(list, v.measureTitle(r.Name)+" "+v.valueOf(r.Name, r.Unit, float64(r.Value), float64(r.U)))
	}
	return v.html("{x}", "x", foreign(strings.Join(list, "; ")))
}

// valueOf writes a value in its own unit and, for a share of stature, in the
// unit people read it in; a yes-no measure as a share of yes.
func (v *view) valueOf(name, unitName string, value, u float64) string {
	if v.isYesNo(name) {
		return rounding.Value(100*value, 3) + v.unitWord("share-yes")
	}
	text := v.amount(v.displayOf(name, unitName), value, u)
	if d := v.displayOf(name, unitName); unitName == "stature" && d.unit != "stature" {
		text += " (" + v.amount(display{100, "stature"}, value, u) + ")"
	}
	return text
}

// isYesNo reports a measure that a must-be limit judges.
func (v *view) isYesNo(name string) bool {
	for i := range v.a.Findings {
		f := &v.a.Findings[i]
		if f.Limit.MustBe != nil && len(f.Why.Reads) > 0 && f.Why.Reads[0].Name == name {
			return true
		}
	}
	return false
}

func (v *view) measureShown(m *engine.NamedMeasure) template.HTML {
	return v.html("fold.measure", "title", foreign(v.measureTitle(m.Name)), "value", v.valueOf(m.Name, m.Unit, float64(m.Value), float64(m.U)),
		"n", number(m.Reps), "from", english(m.From))
}

func (v *view) times() []template.HTML {
	c := v.a.Clock
	var list []template.HTML
	if c.Seen && c.LostS.Known() {
		u := float64(c.ULostS)
		list = append(list, v.html("fold.lost", "s", v.seconds(float64(c.LostS), u), "rest", v.aboutSeconds(float64(c.UnexplainedS), u)))
	}
	if c.Seen && c.FlightS.Known() {
		list = append(list, v.html("fold.flight", "s", v.aboutSeconds(float64(c.FlightS), v.uExchange())))
	}
	if c.Seen && c.ThrowSpeedMps.Known() {
		list = append(list, v.html("fold.speed", "value", limitText(float64(c.ThrowSpeedMps))+v.unitWord("m/s")))
	}
	for _, p := range c.Parts {
		list = append(list, v.html("fold.part", "title", foreign(v.title(p.Fault)), "prior", v.aboutSeconds(float64(p.PriorS), float64(p.U)), "s", v.seconds(float64(p.S), float64(p.U))))
	}
	return list
}

// after is what the corrections would come to together, for the instructor.
func (v *view) after() []template.HTML {
	var list []template.HTML
	for _, w := range v.a.WorkOn {
		if !w.ExchangeAfterS.Known() {
			continue
		}
		u := v.uExchange()
		text := v.html("fold.after", "title", foreign(v.title(w.Fault)), "exchange", v.aboutSeconds(float64(w.ExchangeAfterS), u))
		if w.PopAfterS.Known() {
			text += ", " + v.html("fold.after-pop", "pop", v.aboutSeconds(float64(w.PopAfterS), u))
		}
		if v.showsChanceOut() && w.ChanceOutAfter.Known() && w.ChanceOutBefore.Known() {
			text += ", " + v.html("fold.out", "before", rounding.Value(100*float64(w.ChanceOutBefore), 3), "after", rounding.Value(100*float64(w.ChanceOutAfter), 3))
		}
		list = append(list, text)
	}
	return list
}

// showsChanceOut: the chance of an out is for instructors, and on no page of a
// player under 11.
func (v *view) showsChanceOut() bool {
	return !v.in.ForFamily && v.a.Player.Age >= chanceOutFrom
}

func (v *view) foldChain(c *engine.Chain) foldChain {
	out := foldChain{Says: v.html("fold.chain", "title", foreign(v.title(c.Root)), "verdict", v.say.say("verdict."+string(c.Verdict)),
		"s", v.seconds(float64(c.RecoversS), float64(c.U)), "n", rounding.Value(float64(c.Explains), 0.5))}
	for _, l := range c.Links {
		out.Links = append(out.Links, v.html("fold.link", "from", foreign(v.title(l.From)), "to", foreign(v.title(l.To)),
			"share", rounding.Value(100*float64(l.Share), 3), "s", v.aboutSeconds(float64(l.CarriesS), float64(c.U))))
	}
	return out
}
