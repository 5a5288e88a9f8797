package club

import (
	"bytes"
	"context"
	"strings"

	"rootcue/engine/shape"
	"rootcue/internal/store"
)

// A Difference is one thing that two versions of a rubric say differently.
type Difference struct {
	Where string `json:"where" doc:"Path in the file, its keys joined by /"`
	Old   string `json:"old" doc:"What the older version says; empty: nothing"`
	New   string `json:"new" doc:"What the newer version says; empty: nothing"`
	Says  string `json:"says" doc:"The same in words"`
}

// Differences says in words what changed from one version of a rubric to
// another. A rubric that extends another is compared by what it says itself.
func (c *Clubs) Differences(ctx context.Context, a Actor, name string, from, to int) (list []Difference, err error) {
	var old, late store.Document
	err = c.view(ctx, a, func(tx store.Tx) error {
		if old, err = tx.Document(ctx, store.KindRubric, name, from); err != nil {
			return err
		}
		late, err = tx.Document(ctx, store.KindRubric, name, to)
		return err
	})
	if err != nil {
		return nil, err
	}
	return differencesOf(old.Source, late.Source), nil
}

func differencesOf(old, late []byte) []Difference {
	x, _ := shape.Read("", old) // both were checked before they were published
	y, _ := shape.Read("", late)
	list := []Difference{}
	compareNodes(nil, x, y, &list)
	if len(list) == 0 && !bytes.Equal(old, late) {
		list = append(list, Difference{Says: "Only comments and layout changed."})
	}
	return list
}

func compareNodes(path []string, x, y *shape.Node, list *[]Difference) {
	if x != nil && y != nil && x.Kind == shape.Map && y.Kind == shape.Map {
		compareFields(path, x, y, list)
		return
	}
	old, late := textOf(x), textOf(y)
	if old == late {
		return
	}
	*list = append(*list, Difference{strings.Join(path, "/"), old, late, inWords(path, old, late)})
}

// compareFields goes through the keys of the older map, then those that are new.
func compareFields(path []string, x, y *shape.Node, list *[]Difference) {
	below := func(key string) []string { return append(path[:len(path):len(path)], key) }
	for _, f := range x.Fields() {
		compareNodes(below(f.Key.Text), f.Value, y.Get(f.Key.Text), list)
	}
	for _, f := range y.Fields() {
		if x.Get(f.Key.Text) == nil {
			compareNodes(below(f.Key.Text), nil, f.Value, list)
		}
	}
}

// textOf writes a value as the file has it, lists and maps as JSON.
func textOf(n *shape.Node) string {
	switch {
	case n == nil:
		return ""
	case n.Kind == shape.Map || n.Kind == shape.List:
		return string(n.JSON())
	}
	return n.Text
}

// sections are the parts of a rubric as people call one entry of them.
var sections = map[string]string{"faults": "Fault", "outcomes": "Outcome", "measures": "Measure", "constants": "Constant", "drills": "Drill", "bands": "Band"}

// inWords tells one difference as a sentence.
func inWords(path []string, old, late string) string {
	var where []string
	for i, key := range path {
		if i == 0 && sections[key] != "" && len(path) > 1 {
			where = append(where, sections[key]+" "+path[1])
		} else if i != 1 || sections[path[0]] == "" {
			where = append(where, key)
		}
	}
	name := strings.Join(where, ", ")
	switch {
	case old == "":
		return name + ": new, " + brief(late) + "."
	case late == "":
		return name + ": taken out; it was " + brief(old) + "."
	}
	return name + ": was " + brief(old) + ", is " + brief(late) + "."
}

// brief shortens a long value.
func brief(s string) string {
	const most = 80
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}
