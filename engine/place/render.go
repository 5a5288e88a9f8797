package place

import (
	"fmt"
	"strings"
)

// Render writes problems for people: the place, what was found and wanted, the
// line with a caret under the spot, what to do. source gives a file's bytes, or
// nil where they are not at hand; the line is left out then.
func Render(problems []Problem, source func(file string) []byte) string {
	var b strings.Builder
	texts := map[string]*Lines{}
	for _, p := range problems {
		if texts[p.File] == nil && p.Line > 0 {
			texts[p.File] = NewLines(source(p.File))
		}
		b.WriteString(p.Summary() + "\n")
		if l := texts[p.File]; l != nil && l.Line(p.Line) != "" {
			b.WriteString(snippet(p, l.Line(p.Line)))
		}
		if p.Hint != "" {
			b.WriteString("  = " + p.Hint + "\n")
		}
	}
	return b.String()
}

// Summary is the problem in one line: file:line:column: found …; wanted ….
func (p Problem) Summary() string {
	var b strings.Builder
	if p.File != "" {
		b.WriteString(p.File + ":")
	}
	if p.Line > 0 {
		fmt.Fprintf(&b, "%d:%d:", p.Line, p.Column)
	}
	if p.Pointer != "" {
		b.WriteString(p.Pointer + ":")
	}
	if b.Len() > 0 {
		b.WriteByte(' ')
	}
	if p.Warning {
		b.WriteString("warning: ")
	}
	b.WriteString("found " + p.Found)
	if p.Wanted != "" {
		b.WriteString("; wanted " + p.Wanted)
	}
	return b.String() + " [" + p.Code + "]"
}

// widest is how many characters of a long line are shown around the spot.
const widest = 120

// snippet is the source line with a caret under the problem's column.
func snippet(p Problem, line string) string {
	text := []rune(line)
	at := max(min(p.Column-1, len(text)), 0)
	lead, tail := "", ""
	if len(text) > widest {
		from := max(0, min(at-widest/2, len(text)-widest))
		if from+widest < len(text) {
			tail = "…"
		}
		if from > 0 {
			lead = "…"
		}
		text, at = text[from:from+widest], at-from+len([]rune(lead))
	}
	shown := []rune(lead + string(text) + tail)
	// Control characters would move the cursor; a tab must keep its width.
	under := make([]rune, 0, at)
	for i, c := range shown {
		if c < ' ' && c != '\t' || c == 0x7f {
			shown[i] = '·'
		}
		if i < at {
			under = append(under, ' ')
			if c == '\t' {
				under[i] = '\t'
			}
		}
	}
	number := fmt.Sprint(p.Line)
	return fmt.Sprintf("  %s | %s\n  %s | %s^\n", number, string(shown), strings.Repeat(" ", len(number)), string(under))
}
