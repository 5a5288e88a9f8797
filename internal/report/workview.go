package report

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"rootcue/engine"
	"rootcue/engine/verdict"
)

// leastSeconds is the least time that is worth a family's reading.
const leastSeconds = leastShown

// workShown is one thing to work on.
type workShown struct {
	ID, Ref string // Ref: id of the finding's numbers
	fault   string
	N       int
	Cue     template.HTML
	Swapped template.HTML // says so if the cue is the instructor's
	Title   template.HTML
	Picture *drawing
	Why     template.HTML
	Sure    string
	Brings  []template.HTML
	Drills  []drillShown
}

// drillShown is a drill with its dose.
type drillShown struct{ Title, How, Dose template.HTML }

// work lists what to work on, at most three, without what was set aside.
func (v *view) work() []workShown {
	var list []workShown
	skipped := false
	for _, w := range v.a.WorkOn {
		if _, aside := v.aside[w.Fault]; aside {
			skipped = true
			continue
		}
		if len(list) == 3 {
			break
		}
		list = append(list, v.workItem(len(list)+1, w, skipped))
	}
	return list
}

// workItem shows one correction. skipped: one above it was set aside, so that
// the times that count all above it no longer hold.
func (v *view) workItem(n int, w engine.WorkOn, skipped bool) workShown {
	f := v.finding(w.Fault)
	item := workShown{ID: "work-" + number(n), fault: w.Fault, N: n, Cue: v.inRubric(w.Cue)}
	if cue, swapped := v.cues[w.Fault]; swapped {
		item.Cue, item.Swapped = v.html("{x}", "x", cue), v.html("review.cue", "cue", foreign(w.Cue))
	}
	item.Title = v.inRubric(v.title(w.Fault))
	for _, d := range w.Drills {
		item.Drills = append(item.Drills, v.drill(d, n))
	}
	if f == nil {
		return item
	}
	item.Ref = v.findingID(w.Fault)
	item.Picture, item.Why, item.Sure = v.picture(f), v.why(f), v.sure(f)
	item.Brings = v.brings(w, skipped)
	return item
}

// drill shows a drill for item n; one that stands above already is named only.
func (v *view) drill(d engine.DrillToDo, n int) drillShown {
	if first, again := v.drills[d.Drill]; again {
		return drillShown{Title: v.inRubric(d.Title), Dose: v.html("work.again", "n", number(first))}
	}
	v.drills[d.Drill] = n
	throws := v.say.say("work.no-throws")
	if d.Throws > 0 {
		throws = v.say.say("work.throws", "n", number(d.Throws))
	}
	dose := v.html("work.dose", "dose", foreign(d.Dose), "throws", throws)
	return drillShown{v.inRubric(d.Title), v.inRubric(d.How), dose}
}

// bears tells what the rubric says a fault bears on: the player's safety, the
// arm's load.
func (v *view) bears(fault string) (safety, arm bool) {
	if v.in.Rubric == nil {
		return false, false
	}
	i := v.in.Rubric.FaultNamed(fault)
	if i < 0 {
		return false, false
	}
	return v.in.Rubric.Faults[i].Safety, v.in.Rubric.Faults[i].ArmLoad
}

// why is the reason in one sentence: the player's safety, else what the fault
// leads to, else the arm, else its cost, else the limit.
func (v *view) why(f *engine.Finding) template.HTML {
	if safety, _ := v.bears(f.Fault); safety {
		return v.html("why.safety")
	}
	if c := v.chain(f.Fault); c != nil {
		for _, l := range c.Links {
			if l.From == f.Fault && l.Because != "" {
				return v.inRubric(l.Because)
			}
		}
	}
	_, arm := v.bears(f.Fault)
	switch {
	case arm:
		return v.html("why.arm")
	case f.CostsS >= leastSeconds:
		return v.html("why.costs")
	case f.Limit.MustBe != nil:
		return v.html("why.yes-no")
	}
	return v.html("why.limit")
}

func (v *view) chain(root string) *engine.Chain {
	for i := range v.a.Chains {
		if v.a.Chains[i].Root == root {
			return &v.a.Chains[i]
		}
	}
	return nil
}

// sure says how sure a finding is: a word, its one chance, and in how many
// tries it was seen.
func (v *view) sure(f *engine.Finding) string {
	if f.Chance == nil {
		return ""
	}
	chance := float64(*f.Chance)
	key := "sure.open"
	switch {
	case chance > 0.99:
		key = "sure.certain"
	case chance >= 0.95:
		key = "sure.very"
	case f.Verdict == verdict.Fault:
		key = "sure.quite"
	}
	text := v.say.say(key, "n", number(int(math.Round(100*chance))))
	if k, n := tries(f); n > 0 {
		text += " " + v.say.say("sure.reps", "k", number(k), "n", number(n))
	}
	return text
}

// tries reads in how many of how many tries the limit was passed.
func tries(f *engine.Finding) (past, of int) {
	if f.InReps != nil {
		fmt.Sscanf(*f.InReps, "%d/%d", &past, &of)
	}
	return past, of
}

// brings says what the correction would bring: time, what it helps, or a
// sounder throw.
func (v *view) brings(w engine.WorkOn, skipped bool) []template.HTML {
	var list []template.HTML
	c := v.chain(w.Fault)
	if c != nil && c.RecoversS >= leastSeconds {
		list = append(list, v.html("brings.seconds", "s", v.seconds(float64(c.RecoversS), float64(c.U))))
		if w.ExchangeAfterS.Known() && !skipped {
			u := v.uExchange()
			list = append(list, v.html("brings.exchange", "before", v.seconds(float64(v.a.Clock.ExchangeS), u), "after", v.aboutSeconds(float64(w.ExchangeAfterS), u)))
		}
	}
	if helped := v.helped(c); len(helped) > 0 {
		list = append(list, v.html("brings.helps", "list", foreign(strings.Join(helped, "; "))))
	}
	if safety, _ := v.bears(w.Fault); safety {
		list = append(list, v.html("brings.safety"))
	}
	if len(list) == 0 {
		list = append(list, v.html("brings.sound"))
	}
	return list
}

// uExchange is the uncertainty of the exchange as seen, s.
func (v *view) uExchange() float64 {
	for _, m := range v.a.Measures {
		if m.Name == "exchange_time" {
			return float64(m.U)
		}
	}
	return 0
}

// helped are the faults seen that a chain's root leads to at once.
func (v *view) helped(c *engine.Chain) []string {
	if c == nil {
		return nil
	}
	var list []string
	for _, l := range c.Links {
		if l.From == c.Root && v.isThere(l.To) {
			list = append(list, v.title(l.To))
		}
	}
	return list
}
