package report

import (
	"fmt"
	"io"
	"strings"
)

// sheetReps is how many reps fit the printed form.
const sheetReps = 6

// Text writes the field sheet for a terminal or a plain printer, at most 100
// columns wide.
func (f *FieldSheet) Text(out io.Writer) error {
	var b strings.Builder
	heading := func(s string) { fmt.Fprintf(&b, "\n%s\n", strings.ToUpper(s)) }
	fmt.Fprintf(&b, "Field sheet: %s (%s)\n", f.Title, f.Rubric)
	heading("Before anything else")
	for _, c := range f.Cautions {
		wrap(&b, 2, c)
	}
	if len(f.Cameras) > 0 {
		heading("Where the cameras stand")
		for _, c := range f.Cameras {
			wrap(&b, 2, c.View+": "+c.Where)
			wrap(&b, 4, "Shows "+strings.Join(c.Shows, ", ")+".")
		}
		heading("Before the first rep")
		for _, s := range f.Setup {
			wrap(&b, 2, s)
		}
		heading("Moments to mark, with their frames")
		for _, m := range f.Moments {
			wrap(&b, 2, m.Moment+": "+m.Is+pointsToMark(m))
		}
	}
	f.form(&b)
	_, err := io.WriteString(out, b.String())
	return err
}

func pointsToMark(m SheetMoment) string {
	s := ""
	if len(m.Side) > 0 {
		s += "; side: " + strings.Join(m.Side, " ")
	}
	if len(m.Behind) > 0 {
		s += "; behind or ahead: " + strings.Join(m.Behind, " ")
	}
	return s
}

// form writes the lines to fill in by hand.
func (f *FieldSheet) form(b *strings.Builder) {
	fmt.Fprintf(b, "\nFORM\n")
	fmt.Fprintf(b, "  player ref __________  age ____  stature _____ cm on __________  throws left / right\n")
	fmt.Fprintf(b, "  date __________  base path _____ ft  ball live / dry  pitch ______  batter ______\n")
	fmt.Fprintf(b, "  evaluator __________  session __________\n\n")
	fmt.Fprintf(b, "  %-58s%s\n", "", "rep 1  rep 2  rep 3  rep 4  rep 5  rep 6")
	for _, item := range f.Items {
		for i, line := range foldTitle(item.Title+" ["+item.Unit+"]", 56) {
			if i == 0 {
				fmt.Fprintf(b, "  %-58s%s\n", line, strings.Repeat("_____  ", sheetReps-1)+"_____")
				continue
			}
			fmt.Fprintf(b, "    %s\n", line)
		}
		fmt.Fprintf(b, "    (%s; %s)\n", item.Measure, item.View)
	}
	fmt.Fprintf(b, "\n  Nothing seen? Leave it empty: an empty field is never counted as zero or as no.\n")
}

// foldTitle breaks words into lines of at most n columns.
func foldTitle(s string, n int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		if line != "" && len([]rune(line))+1+len([]rune(word)) > n {
			lines, line = append(lines, line), ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, line)
}
