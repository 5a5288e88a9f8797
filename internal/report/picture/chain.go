package picture

import "strings"

// A Link is one step of a chain: From and To count into the chain's titles.
type Link struct {
	From, To int
	Label    string // such as "0.07 s"; "" for none
}

// Sizes of a chain's boxes, in user units.
const (
	boxWide, boxGap   = 132, 46
	rowHigh, lineHigh = 74, 15
	boxColumns        = 19 // characters a line
)

// Chain draws what starts what from left to right. titles[0] is the root,
// which note stands under.
func Chain(titles []string, links []Link, note string) Drawing {
	depth := depths(len(titles), links)
	place := make([]point, len(titles))
	rows := map[int]int{}
	columns, most := 0, 0
	for i, at := range depth {
		place[i] = point{4 + float64(at)*(boxWide+boxGap), 4 + float64(rows[at])*rowHigh}
		rows[at]++
		columns, most = max(columns, at+1), max(most, rows[at])
	}
	d := Drawing{W: float64(columns*(boxWide+boxGap)-boxGap) + 8, H: float64(most*rowHigh) + 4}
	for _, l := range links {
		d.arrow(place[l.From], place[l.To], l.Label)
	}
	for i, title := range titles {
		d.titled(place[i], title, i == 0)
	}
	d.text("label seen-label", place[0].x+2, place[0].y+rowHigh-3, note)
	return d
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
		d.textMid("label", p.x+boxWide/2, y+float64(i)*lineHigh, line)
	}
}

// arrow joins two boxes, from the right side of one to the left side of the
// other, or around where that one does not lie to the right.
func (d *Drawing) arrow(from, to point, label string) {
	a, b := point{from.x + boxWide, from.y + boxHigh/2}, point{to.x, to.y + boxHigh/2}
	if to.x <= from.x {
		a, b = point{from.x + boxWide/2, from.y + boxHigh}, point{to.x + boxWide/2, to.y + boxHigh}
		low := max(a.y, b.y) + 12
		d.path("arrow", "M%s %sC%s %s %s %s %s %s", a.x, a.y, a.x, low, b.x, low, b.x, b.y)
		return
	}
	d.path("arrow", "M%s %sC%s %s %s %s %s %s", a.x, a.y, a.x+boxGap/2, a.y, b.x-boxGap/2, b.y, b.x-5, b.y)
	d.path("arrow-head", "M%s %sl-8 -4.5v9Z", b.x, b.y)
	if label != "" {
		d.textMid("label minor", b.x-boxGap/2, b.y-7, label)
	}
}

// depths puts every box to the right of what leads to it; a link that would
// close a circle is left out of the count.
func depths(n int, links []Link) []int {
	depth := make([]int, n)
	var used []Link
	for _, l := range links {
		if !leads(used, l.To, l.From) {
			used = append(used, l)
		}
	}
	for range n {
		for _, l := range used {
			depth[l.To] = max(depth[l.To], depth[l.From]+1)
		}
	}
	return depth
}

// leads reports a way along links from one box to another.
func leads(links []Link, from, to int) bool {
	reached := map[int]bool{from: true}
	for queue := []int{from}; len(queue) > 0; queue = queue[1:] {
		for _, l := range links {
			if l.From == queue[0] && !reached[l.To] {
				reached[l.To] = true
				queue = append(queue, l.To)
			}
		}
	}
	return reached[to]
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
