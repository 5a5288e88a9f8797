package cli

import (
	"fmt"
	"strings"

	"rootcue/engine/workload"
)

// workloadText is the answer in words: what may be done, then what it rests on.
func workloadText(a workload.Answer) []string {
	lines := []string{fmt.Sprintf("%s %v, by what was recorded here", a.On.Weekday(), a.On)}
	for _, v := range []struct {
		what string
		workload.Verdict
	}{{"Pitching", a.Pitching}, {"Catching", a.Catching}, {"Throwing", a.Throwing}} {
		lines = append(lines, verdictLine(v.what, v.Verdict), "  "+v.Says)
		if v.Rule != "" {
			lines = append(lines, "  Decided by "+decidedBy(v.Verdict))
		}
	}
	if p := a.IfThrows; p != nil {
		lines = append(lines, fmt.Sprintf("Planned: %d throws, %s", p.Throws, p.Answer), "  "+p.Says)
		for _, c := range p.Cautions {
			lines = append(lines, fmt.Sprintf("  Would bring: %s: %s (%s)", c.Level, c.Says, c.Source))
		}
	}
	lines = append(lines, "", "Cautions:")
	for _, c := range a.Cautions {
		lines = append(lines, fmt.Sprintf("  %s: %s (%s)", c.Level, c.Says, c.Source))
	}
	lines = append(lines, totalsText(a.Totals)...)
	lines = append(lines, calendarText(a)...)
	for _, n := range a.Notes {
		lines = append(lines, "Note: "+n.Says)
	}
	return append(lines, loadText(a.Load))
}

func verdictLine(what string, v workload.Verdict) string {
	line := fmt.Sprintf("%s: %s", what, v.Answer)
	if v.Left != nil {
		line += fmt.Sprintf(", %d left", *v.Left)
	}
	if v.NextDay != nil && v.Answer != workload.Yes {
		line += fmt.Sprintf(", next %s %v", v.NextDay.Weekday(), *v.NextDay)
	}
	return line
}

func decidedBy(v workload.Verdict) string {
	text := v.Rule + " of " + v.Policy
	if v.Policy == "always" {
		text = v.Rule + ", which no policy overrides"
	}
	if v.Entry != nil && v.Entry.Line > 0 {
		text += fmt.Sprintf(", by line %d of the ledger", v.Entry.Line)
	}
	return text
}

func totalsText(t workload.Totals) []string {
	lines := []string{"", "Recorded:                day    season  12 months"}
	row := func(what string, of func(workload.Sum) string) {
		lines = append(lines, fmt.Sprintf("  %-18s %8s  %8s  %9s", what, of(t.Day), of(t.Season), of(t.Year)))
	}
	row("pitches", func(s workload.Sum) string { return fmt.Sprint(s.Pitches) })
	row("throws, all kinds", func(s workload.Sum) string { return fmt.Sprint(s.Throws) })
	row("innings pitched", func(s workload.Sum) string { return fmt.Sprintf("%.3g", s.InningsPitched) })
	row("innings caught", func(s workload.Sum) string { return fmt.Sprintf("%.3g", s.InningsCaught) })
	row("counts missing", func(s workload.Sum) string { return fmt.Sprint(s.Unknown) })
	for _, m := range t.Missing {
		what := fmt.Sprintf("  Missing, line %d: %s", m.Line, m.Says)
		if m.Date != nil {
			what += fmt.Sprintf(" (%s on %v)", m.Kind, *m.Date)
		}
		lines = append(lines, what)
	}
	return lines
}

func calendarText(a workload.Answer) []string {
	lines := []string{"", "If nothing more is thrown:"}
	for _, d := range a.Calendar {
		left := ""
		if d.Left != nil {
			left = fmt.Sprintf(" (%d)", *d.Left)
		}
		lines = append(lines, fmt.Sprintf("  %s %v  pitching %s%s, catching %s, throwing %s", d.Weekday[:3], d.Date, d.Pitching, left, d.Catching, d.Throwing))
	}
	if len(a.IfPitches) > 0 {
		lines = append(lines, "", "More pitches today, and what follows:")
	}
	for _, s := range a.IfPitches {
		next := "none"
		if s.NextPitched != nil {
			next = s.NextPitched.Weekday()[:3] + " " + s.NextPitched.String()
		}
		lines = append(lines, fmt.Sprintf("  %3d to %3d: next pitching %s, catching today %s", s.From, s.To, next, s.Catching))
	}
	return append(lines, "")
}

func loadText(l workload.Load) string {
	if l.Mean7 == nil {
		return "Change of load: " + l.Says
	}
	parts := []string{fmt.Sprintf("Change of load: %.1f throws a day over about 7 days, %.1f over about 28", *l.Mean7, *l.Mean28)}
	if l.Ratio != nil {
		parts = append(parts, fmt.Sprintf("ratio %.2f", *l.Ratio))
	}
	return strings.Join(parts, ", ") + fmt.Sprintf(" (both start from the first day's %.0f). %s", *l.Seed, l.Says)
}
