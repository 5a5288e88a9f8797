package club

import (
	"context"
	"fmt"
	"slices"
	"strconv"

	"rootcue/engine/panel"
)

// Missing looks of a tryout, and looks that would teach most.
type Missing struct {
	Looks []MissingLook // by bib, the fewest looks first
	Plan  []panel.Look  // blind looks: who should see whom again
}

// A MissingLook is a player who was seen by fewer evaluators than the club wants.
type MissingLook struct {
	Bib    string
	Items  []string // with so many looks
	Looks  int      // by different evaluators
	Wanted int
	By     []string // who may give one: on the panel, at the station, assigned, not recused, not yet seen
}

// Says puts it into words.
func (m MissingLook) Says() string {
	says := fmt.Sprintf("bib %s has %s on %s, wants %d", m.Bib, looks(m.Looks), upToThree(m.Items), m.Wanted)
	if len(m.By) == 0 {
		says += "; nobody assigned is left to give one"
	}
	return says
}

func looks(n int) string {
	switch n {
	case 0:
		return "no look"
	case 1:
		return "one look"
	}
	return strconv.Itoa(n) + " looks"
}

// upToThree names up to three items and counts the others.
func upToThree(items []string) string {
	switch n := len(items); {
	case n == 1:
		return items[0]
	case n > 3:
		return fmt.Sprintf("%s, %s and %d more items", items[0], items[1], n-2)
	case n == 3:
		return items[0] + ", " + items[1] + " and " + items[2]
	}
	return items[0] + " and " + items[1]
}

// MissingLooks lists who still wants looks on the items that count, and plans n
// blind looks for each of these items (at most 20): the evaluator does not know
// the grades given so far.
func (c *Clubs) MissingLooks(ctx context.Context, a Actor, id string, n int) (Missing, error) {
	e, err := c.Event(ctx, a, id)
	if err != nil {
		return Missing{}, err
	}
	return e.MissingLooks(n), nil
}

// MissingLooks are those at the moment of the event.
func (e *Event) MissingLooks(n int) (m Missing) {
	seen := map[[3]string]bool{} // bib, item, evaluator
	for _, one := range e.counted {
		seen[[3]string{one.Bib, one.Item, one.Evaluator}] = true
	}
	for _, p := range e.playing {
		m.Looks = append(m.Looks, e.missing(p.Bib, seen)...)
	}
	weighed := slices.DeleteFunc(slices.Clone(e.counted), func(one panel.Grade) bool { return e.item(one.Item).Weight == 0 })
	m.Plan = panel.NextLooks(weighed, min(n, 20), func(evaluator, bib string) bool {
		return e.recused[[2]string{evaluator, bib}] || !e.Settings.looksAt(evaluator, bib)
	})
	return m
}

// missing are the looks one player lacks, items with as many looks and the same
// evaluators to give them together.
func (e *Event) missing(bib string, seen map[[3]string]bool) (list []MissingLook) {
	for _, item := range e.Items {
		if item.Weight == 0 {
			continue
		}
		one := MissingLook{Bib: bib, Items: []string{item.Item}, Wanted: e.Settings.Looks, By: []string{}}
		for _, who := range e.Settings.Panel {
			switch {
			case seen[[3]string{bib, item.Item, who}]:
				one.Looks++
			case e.Settings.stands(who, item.Item) && e.Settings.looksAt(who, bib) && !e.recused[[2]string{who, bib}]:
				one.By = append(one.By, who)
			}
		}
		if one.Looks >= one.Wanted {
			continue
		}
		i := slices.IndexFunc(list, func(m MissingLook) bool { return m.Looks == one.Looks && slices.Equal(m.By, one.By) })
		if i < 0 {
			list = append(list, one)
			continue
		}
		list[i].Items = append(list[i].Items, item.Item)
	}
	slices.SortStableFunc(list, func(x, y MissingLook) int { return x.Looks - y.Looks })
	return list
}
