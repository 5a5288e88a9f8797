package shape

import (
	"slices"
	"strconv"

	"rootcue/engine/place"
)

// Merge lays a change over a base document: maps are merged by key, anything
// else is replaced, null takes a key out. Values keep the file they stand in.
// Keys of the base keep their order; new ones follow.
func Merge(base, change *Node) (*Node, []place.Problem) {
	var problems []place.Problem
	return merge(base, change, &problems), problems
}

func merge(base, change *Node, problems *[]place.Problem) *Node {
	if base == nil || base.Kind != Map || change.Kind != Map {
		return change
	}
	out := *change
	out.fields, out.index, out.meant = nil, nil, slices.Concat(base.meant, change.meant)
	for _, f := range base.fields {
		c := change.raw(f.Key.Text)
		switch {
		case c == nil:
			out.add(f)
		case c.Kind != Null:
			out.add(Field{change.Key(f.Key.Text), merge(f.Value, c, problems)})
		}
	}
	for _, f := range change.fields {
		switch inBase := base.raw(f.Key.Text) != nil; {
		case inBase || f.Key.bad:
		case f.Value.Kind == Null:
			*problems = append(*problems, f.Key.Problem("nothing-to-take-out", "null for "+strconv.Quote(shorten(f.Key.Text)), "a key that the extended document has", DidYouMean(f.Key.Text, keysOf(base))))
		default:
			out.add(f)
		}
	}
	return &out
}

func keysOf(n *Node) []string {
	keys := make([]string, len(n.fields))
	for i, f := range n.fields {
		keys[i] = f.Key.Text
	}
	return keys
}

// File names the file that the value stands in.
func (n *Node) File() string { return n.doc.file }
