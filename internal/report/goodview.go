package report

import "html/template"

// goodMost is how many good things the family part lists.
const goodMost = 6

// goodShown is what is already good.
type goodShown struct {
	List []template.HTML
	More string
	None string
}

// good picks from all over the list, so that set-up, hands, arm and feet all
// come in.
func (v *view) good() goodShown {
	n := len(v.a.Keep)
	if n == 0 {
		return goodShown{None: v.say.say("good.none")}
	}
	shown := min(n, goodMost)
	g := goodShown{}
	for i := range shown {
		g.List = append(g.List, v.inRubric(v.a.Keep[i*n/shown].Says))
	}
	switch more := n - shown; {
	case more == 1:
		g.More = v.say.say("good.one-more")
	case more > 1:
		g.More = v.say.say("good.more", "n", number(more))
	}
	return g
}
