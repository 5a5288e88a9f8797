// Package report writes assessments for people: text for a terminal, and pages
// with pictures.
package report

import (
	"fmt"
	"io"
	"strings"

	"rootcue/engine"
	"rootcue/engine/verdict"
)

// width is the most columns a line of text takes.
const width = 100

// Text writes an assessment for a person at a terminal: cautions that stop
// something, chains, the clock, what to work on with how sure it is, what to
// keep, what to look at, notes and all cautions.
func Text(out io.Writer, a *engine.Assessment) error {
	t := &text{a: a}
	t.head()
	t.cautions("stop", "limit")
	t.chains()
	t.clock()
	t.workOn()
	t.keep()
	t.open()
	t.notes()
	t.cautions("watch", "note")
	_, err := io.WriteString(out, t.b.String())
	return err
}

type text struct {
	a *engine.Assessment
	b strings.Builder
}

func (t *text) head() {
	a := t.a
	fmt.Fprintf(&t.b, "%s   %s   band %s   %d reps   rubric %s version %d\n", a.Player.Ref, a.On, a.Player.Band, a.Reps, a.Rubric.Name, a.Rubric.Version)
}

// section starts a part of the text.
func (t *text) section(title string) { fmt.Fprintf(&t.b, "\n%s\n", strings.ToUpper(title)) }

// line writes one entry, wrapped, with the following lines indented to match.
func (t *text) line(indent int, format string, args ...any) {
	wrap(&t.b, indent, fmt.Sprintf(format, args...))
}

// wrap breaks words over lines of at most width columns.
func wrap(b *strings.Builder, indent int, s string) {
	pad := strings.Repeat(" ", indent)
	at := 0
	for i, word := range strings.Fields(s) {
		switch {
		case i == 0:
			b.WriteString(pad)
			at = indent
		case at+1+len([]rune(word)) > width:
			b.WriteString("\n" + pad + "  ")
			at = indent + 2
		default:
			b.WriteByte(' ')
			at++
		}
		b.WriteString(word)
		at += len([]rune(word))
	}
	b.WriteByte('\n')
}

func (t *text) cautions(levels ...string) {
	shown := false
	for _, c := range t.a.Cautions {
		for _, l := range levels {
			if string(c.Level) != l {
				continue
			}
			if !shown {
				t.section("Cautions")
				shown = true
			}
			t.line(2, "%s: %s [%s]", strings.ToUpper(l), c.Says, c.Source)
		}
	}
}

// leastShown is the least number of seconds a person is shown.
const leastShown = 0.005

func (t *text) chains() {
	t.section("What starts what")
	shown := 0
	for _, c := range t.a.Chains {
		if c.Verdict != verdict.Fault && c.Verdict != verdict.Close || c.RecoversS < leastShown && c.Explains < 1 {
			continue
		}
		shown++
		sure := ""
		if c.Verdict == verdict.Close {
			sure = ", close call"
		}
		t.line(2, "%d. %s (%s%s): gives back %s, explains %.1f of the faults seen", shown, t.title(c.Root), c.Root, sure, seconds(c.RecoversS, c.U), float64(c.Explains))
		for _, l := range c.Links {
			from := "" // the root, unless another stands between
			if l.From != c.Root {
				from = t.title(l.From) + " "
			}
			t.line(5, "%s-> %s, %.0f %% of it%s: %s", from, t.title(l.To), 100*float64(l.Share), carried(l.CarriesS), l.Because)
		}
	}
	if shown == 0 {
		t.line(2, "No fault was found that starts others or costs time.")
	}
}

func carried(s engine.Number) string {
	if s < leastShown {
		return ""
	}
	return fmt.Sprintf(" and %.2f s", float64(s))
}

func (t *text) title(fault string) string {
	for i := range t.a.Findings {
		if t.a.Findings[i].Fault == fault {
			return t.a.Findings[i].Title
		}
	}
	return fault
}

func (t *text) clock() {
	t.section("The clock")
	c := t.a.Clock
	if !c.Seen {
		t.line(2, "No exchange was timed.")
	} else {
		t.line(2, "Exchange %.2f s against a goal of %.2f s: %s", float64(c.ExchangeS), float64(c.ReferenceS), lost(c.LostS, c.ULostS))
	}
	for _, p := range c.Parts {
		if p.S >= leastShown || p.PriorS >= leastShown {
			t.line(4, "%s: %s (expected %.2f s from what was seen)", t.title(p.Fault), seconds(p.S, p.U), float64(p.PriorS))
		}
	}
	if c.Seen {
		t.line(4, "not explained by any fault: %+.2f s", float64(c.UnexplainedS))
	}
	if c.Seen && c.PopS.Known() {
		t.line(2, "Pop time %.2f s, flight %.2f s%s", float64(c.PopS), float64(c.FlightS), speed(c.ThrowSpeedMps))
	}
}

func speed(v engine.Number) string {
	if !v.Known() {
		return ""
	}
	return fmt.Sprintf(", throw %.0f m/s (%.0f mph)", float64(v), float64(v)/0.44704)
}

func lost(s, u engine.Number) string {
	if s < 0 {
		return fmt.Sprintf("%.2f ± %.2f s better", -float64(s), float64(u))
	}
	return seconds(s, u) + " lost"
}

// seconds writes a time to what its uncertainty supports.
func seconds(s, u engine.Number) string {
	return fmt.Sprintf("%.2f ± %.2f s", float64(s), float64(u))
}

func (t *text) workOn() {
	t.section("Work on")
	if len(t.a.WorkOn) == 0 {
		t.line(2, "Nothing to hand out.")
	}
	for i, w := range t.a.WorkOn {
		t.line(2, "%d. %s  %s", i+1, w.Cue, t.sure(w.Fault))
		if w.ExchangeAfterS.Known() {
			t.line(5, "%s", after(w))
		}
		for _, d := range w.Drills {
			t.line(5, "* %s, %s, %d throws: %s", d.Title, d.Dose, d.Throws, d.How)
		}
	}
}

func after(w engine.WorkOn) string {
	s := fmt.Sprintf("with the corrections down to here: exchange %.2f s", float64(w.ExchangeAfterS))
	if w.PopAfterS.Known() {
		s += fmt.Sprintf(", pop time %.2f s", float64(w.PopAfterS))
	}
	if w.ChanceOutAfter.Known() && w.ChanceOutBefore.Known() {
		s += fmt.Sprintf(", chance of the out from %.0f to %.0f %%", 100*float64(w.ChanceOutBefore), 100*float64(w.ChanceOutAfter))
	}
	return s
}

// sure says how sure a fault is, what was read against which limit, and in how
// many reps.
func (t *text) sure(fault string) string {
	for i := range t.a.Findings {
		f := &t.a.Findings[i]
		if f.Fault != fault || f.Chance == nil {
			continue
		}
		reads := ""
		for _, r := range f.Why.Reads[:min(1, len(f.Why.Reads))] {
			reads = fmt.Sprintf(", read %.3g ± %.2g %s", float64(r.Value), float64(r.U), r.Unit)
		}
		return fmt.Sprintf("[%s, %.0f %% sure, in %s reps; %s%s]", f.Fault, 100*float64(*f.Chance), *f.InReps, f.Why.Rule, reads)
	}
	return ""
}

func (t *text) keep() {
	if len(t.a.Keep) == 0 {
		return
	}
	t.section("Keep")
	for _, k := range t.a.Keep {
		t.line(2, "+ %s", k.Says)
	}
}

func (t *text) open() {
	if len(t.a.Undecided)+len(t.a.LookNext) == 0 {
		return
	}
	t.section("Still open")
	for _, u := range t.a.Undecided {
		t.line(2, "? %s or %s first (%.0f to %.0f)? %s", t.title(u.Pair[0]), t.title(u.Pair[1]), 100*float64(u.Forward), 100*(1-float64(u.Forward)), u.SettleBy)
	}
	for _, l := range t.a.LookNext {
		t.line(2, "? %s: %s", t.title(l.Fault), l.Says)
	}
}

func (t *text) notes() {
	if len(t.a.Notes) == 0 {
		return
	}
	t.section("Notes")
	for _, n := range t.a.Notes {
		t.line(2, "- %s [%s]", n.Says, n.Code)
	}
}
