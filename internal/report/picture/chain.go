package picture

import "strings"

// A Link is one step of a chain: From and To count into the chain's titles.
type Link struct {
	From, To int
	Label    string // such as "0.07 s"; "" for none
}

// Sizes of a chain's boxes, in user units.
const (
	boxWide, boxGap   = 146, 50
	rowHigh, lineHigh = 78, 15
	boxColumns        = 18 // characters a line
)

// Chain draws what starts what from left to right. titles[0] is the root,
// which note stands under; every other box has one link that leads to it.
func Chain(titles []string, links []Link, note string) Drawing {
	t := tree{links: links, at: make([]point, len(titles))}
	rows := t.place(0, 0, 0)
	columns := 0.0
	for _, p := range t.at {
		columns = max(columns, p.x+1)
	}
	for i, p := range t.at {
		t.at[i] = point{4 + p.x*(boxWide+boxGap), 4 + p.y*rowHigh}
	}
	d := Drawing{W: columns*(boxWide+boxGap) - boxGap + 8, H: float64(rows)*rowHigh + 4}
	for _, l := range links {
		d.arrow(t.at[l.From], t.at[l.To], l.Label)
	}
	for i, title := range titles {
		d.titled(t.at[i], title, i == 0)
	}
	d.text("label seen-label", t.at[0].x+2, t.at[0].y+rowHigh-3, note)
	return d
}

// A tree places boxes by column and row.
type tree struct {
	links []Link
	at    []point
}

// place puts a box and all that it leads to, the first effect in the box's own
// row; it gives the first row that is free below.
func (t *tree) place(box, column, row int) int {
	t.at[box] = point{float64(column), float64(row)}
	next := row
	for _, l := range t.links {
		if l.From == box {
			next = t.place(l.To, column+1, next)
		}
	}
	return max(next, row+1)
}

const boxHigh = rowHigh - 18

func (d *Drawing) titled(p point, title string, root bool) {
	class := "node"
	if root {
		class = "node root"
	}
	d.box(class, p.x, p.y, boxWide, boxHigh)
	lines := broken(title, boxColumns, 3)
	y := p.y + boxHigh/2 - float64(len(lines)-1)*lineHigh/2 + 4
	for i, line := range lines {
		d.textMid("label in-box", p.x+boxWide/2, y+float64(i)*lineHigh, line)
	}
}

// arrow joins two boxes, from the right side of one to the left side of the
// other.
func (d *Drawing) arrow(from, to point, label string) {
	a, b := point{from.x + boxWide, from.y + boxHigh/2}, point{to.x, to.y + boxHigh/2}
	d.path("arrow", "M%s %sC%s %s %s %s %s %s", a.x, a.y, a.x+boxGap/2, a.y, b.x-boxGap/2, b.y, b.x-5, b.y)
	d.path("arrow-head", "M%s %sl-8 -4.5v9Z", b.x, b.y)
	if label != "" {
		below := 0.0
		if to.y > from.y { // beside the bow of the arrow, not on it
			below = 24
		}
		d.textMid("label minor", b.x-boxGap/2-2, b.y-8+below, label)
	}
}

// broken breaks a title over at most most lines of about columns characters;
// what is left over goes into the last.
func broken(title string, columns, most int) []string {
	var lines []string
	for _, word := range strings.Fields(title) {
		last := len(lines) - 1
		if last >= 0 && (len([]rune(lines[last]))+1+len([]rune(word)) <= columns || len(lines) == most) {
			lines[last] += " " + word
			continue
		}
		lines = append(lines, word)
	}
	return lines
}
