package cli

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"text/tabwriter"

	"rootcue/engine/panel"
)

// tryoutText is a tryout in words, with units, uncertainties and where each
// figure comes from.
func tryoutText(r panel.Result, best int) []string {
	lines := append([]string{"How far the evaluators agree"}, agreementText(r.Agreement)...)
	if len(r.Severity) > 0 {
		lines = append(lines, "", "How strict each one is (grades more, or less, than the average evaluator; ± one standard uncertainty)")
		lines = append(lines, severityText(r.Severity)...)
	}
	if len(r.Standing) > 0 {
		lines = append(lines, "", fmt.Sprintf("Standing (score in standard deviations of the players on this panel, 0 the mean; rank: mean, and 95 %% of the time within; best %d: the chance of it)", best))
		lines = append(lines, standingText(r.Standing, best)...)
		lines = append(lines, "Players of one tier cannot be told apart by these grades: the last of a tier is better than its first more than 1 time in 20.",
			"Adjusted grades are what an average evaluator would give (least squares); in brackets the mean as graded.")
	}
	lines = append(lines, remarks("Look into", r.Flags, func(f panel.Flag) string { return strings.TrimSpace(f.Evaluator+" ") + flagged(f) })...)
	lines = append(lines, remarks("Missing", r.Missing, func(m panel.Missing) string { return m.Says })...)
	lines = append(lines, remarks("Blind looks to take next", r.Looks, func(l panel.Look) string {
		return fmt.Sprintf("%s: player %s by %s; %s", l.Item, l.Bib, l.Evaluator, l.Says)
	})...)
	lines = append(lines, remarks("If one evaluator is left out", r.Without, func(w panel.Without) string { return w.Says })...)
	return append(lines, remarks("Notes", r.Notes, func(n panel.Note) string { return n.Says })...)
}

func flagged(f panel.Flag) string {
	if f.Evaluator == "" {
		return f.Code + ": " + f.Says
	}
	return fmt.Sprintf(" on %s is %s: %s", f.Item, f.Code, f.Says)
}

// remarks is a headed list, nothing when it is empty.
func remarks[T any](head string, list []T, say func(T) string) []string {
	if len(list) == 0 {
		return nil
	}
	lines := []string{"", head}
	for _, one := range list {
		lines = append(lines, "  "+say(one))
	}
	return lines
}

func agreementText(list []panel.Agreement) []string {
	var lines []string
	for _, a := range list {
		lines = append(lines, fmt.Sprintf("  %s (%s design): %s", a.Item, a.Design, a.Says))
		figures := []string{}
		for _, f := range []struct {
			name string
			of   panel.Interval
		}{{"ICC(2,1)", a.ICC21}, {"ICC(3,1)", a.ICC31}, {"ICC(2,k)", a.ICC2K}, {"ICC(3,k)", a.ICC3K}} {
			if f.of.Value.Known() {
				figures = append(figures, f.name+" "+intervalText(f.of))
			}
		}
		if a.Kappa.Known() {
			figures = append(figures, fmt.Sprintf("Cohen's κ %.2f", a.Kappa))
		}
		if a.Alpha.Known() {
			figures = append(figures, fmt.Sprintf("Krippendorff's α %.2f", a.Alpha))
		}
		if len(figures) > 0 {
			lines = append(lines, "    "+strings.Join(figures, ", "))
		}
	}
	return lines
}

// intervalText is "0.29 (0.02 to 0.76)", or the value alone.
func intervalText(i panel.Interval) string {
	if !i.Low.Known() || !i.High.Known() {
		return fmt.Sprintf("%.2f", i.Value)
	}
	return fmt.Sprintf("%.2f (%.2f to %.2f)", i.Value, i.Low, i.High)
}

func severityText(list []panel.Severity) []string {
	return table(func(w *tabwriter.Writer) {
		for _, v := range list {
			fmt.Fprintf(w, "  %s\t%s\t%s\n", v.Item, v.Evaluator, figureText(v.Value, v.U, "%+.*f"))
		}
	})
}

func standingText(list []panel.Standing, best int) []string {
	items := itemsOf(list)
	return table(func(w *tabwriter.Writer) {
		fmt.Fprintf(w, "  tier\tplayer\tscore\trank\twithin\tbest %d", best)
		for _, item := range items {
			fmt.Fprint(w, "\t"+item)
		}
		fmt.Fprintln(w)
		for _, s := range list {
			within, chance := "unknown", "unknown"
			if s.RankLow != nil {
				within = fmt.Sprintf("%d–%d", *s.RankLow, *s.RankHigh)
			}
			if s.ChanceBest.Known() {
				chance = fmt.Sprintf("%.0f %%", 100*s.ChanceBest)
			}
			fmt.Fprintf(w, "  %d\t%s\t%s\t%.1f\t%s\t%s", s.Tier, s.Bib, figureText(s.Score, s.U, "%+.*f"), s.Rank, within, chance)
			for _, item := range items {
				fmt.Fprint(w, "\t"+measuredText(s.Items, item))
			}
			fmt.Fprintln(w)
		}
	})
}

// itemsOf lists the items of a standing in the order of their names.
func itemsOf(list []panel.Standing) []string {
	seen := map[string]bool{}
	for _, s := range list {
		for item := range s.Items {
			seen[item] = true
		}
	}
	return slices.Sorted(maps.Keys(seen))
}

func measuredText(items map[string]panel.Measured, item string) string {
	m, ok := items[item]
	if !ok {
		return "not seen"
	}
	return fmt.Sprintf("%s (%.4g)", figureText(m.Adjusted, m.U, "%.*f"), m.Raw)
}

// figureText is a value to the digits its uncertainty supports.
func figureText(v, u panel.Figure, format string) string {
	places := 0
	for scaled := float64(u); scaled > 0 && scaled < 9.95 && places < 7; places++ {
		scaled *= 10
	}
	if !u.Known() {
		return fmt.Sprintf(format+" ± unknown", 2, v)
	}
	return fmt.Sprintf(format+" ± %.*f", places, v, places, u)
}

// table lays out columns.
func table(fill func(*tabwriter.Writer)) []string {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fill(w)
	w.Flush()
	return strings.Split(strings.TrimRight(b.String(), "\n"), "\n")
}
