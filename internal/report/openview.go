package report

import (
	"html/template"

	"rootcue/engine/verdict"
)

// openMost is how many open questions the family part asks.
const openMost = 3

// open lists what is not settled yet.
func (v *view) open() []template.HTML {
	var list []template.HTML
	for _, u := range v.a.Undecided {
		pair := v.html("open.pair", "a", foreign(v.title(u.Pair[0])), "b", foreign(v.title(u.Pair[1])))
		list = append(list, pair+" "+v.inRubric(u.SettleBy))
	}
	for _, l := range v.a.LookNext {
		if len(list) == openMost {
			break
		}
		key := "open.doubt"
		if f := v.finding(l.Fault); f != nil && f.Verdict == verdict.NotSeen {
			key = "open.look"
		}
		list = append(list, v.html(key, "title", foreign(v.measureTitle(l.Measure))))
	}
	for _, n := range v.a.Notes {
		if n.Code == "few-reps" {
			list = append(list, v.html("note.few-reps"))
		}
	}
	return list
}
