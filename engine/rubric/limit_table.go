package rubric

import (
	"fmt"
	"strings"
	"text/tabwriter"
)

// LimitTable writes the limits in force by band, with what `extends` brings
// in, for people: a line for each fault and outcome.
func (r *Rubric) LimitTable() string {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprint(w, "fault\tmeasure\tlimit")
	for _, band := range r.Bands {
		fmt.Fprint(w, "\t", band.Name)
	}
	fmt.Fprintln(w, "\tunit or condition")
	for i := range r.Faults {
		r.limitRow(w, &r.Faults[i])
	}
	w.Flush() //nolint:errcheck // a strings.Builder takes everything
	return b.String()
}

func (r *Rubric) limitRow(w *tabwriter.Writer, f *Fault) {
	if f.When != nil {
		fmt.Fprintf(w, "%s\t\twhen%s\t%s\n", f.Name, strings.Repeat("\t", len(r.Bands)), f.When.Source())
		return
	}
	m := &r.Measures[f.Measure]
	fmt.Fprintf(w, "%s\t%s\t%s", f.Name, m.Name, f.Limit.Kind)
	for band := range r.Bands {
		fmt.Fprint(w, "\t", f.Limit.text(band))
	}
	if m.Kind == Quantity {
		fmt.Fprint(w, "\t", m.Unit.Name)
	} else {
		fmt.Fprint(w, "\t", m.Kind)
	}
	fmt.Fprintln(w)
}

// text writes the limit for a band in the measure's unit.
func (l *Limit) text(band int) string {
	if l.Kind == MustBe {
		return fmt.Sprint(l.MustBe)
	}
	return strings.Join(l.Ends(band), " to ")
}

// Ends writes the numbers of a limit for a band in the measure's unit: one, or
// the two of Between; none for MustBe.
func (l *Limit) Ends(band int) []string {
	switch l.Kind {
	case AtMost:
		return []string{short(l.Hi[band])}
	case AtLeast:
		return []string{short(l.Lo[band])}
	case Between:
		return []string{short(l.Lo[band]), short(l.Hi[band])}
	}
	return nil
}
