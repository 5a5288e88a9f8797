package browsertest

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/chromedp"
)

// silent are the roles that carry no words of their own.
var silent = map[string]bool{"none": true, "generic": true, "InlineTextBox": true, "ListMarker": true, "LineBreak": true}

// whole are the roles whose name says all that is in them.
var whole = map[string]bool{"StaticText": true, "image": true, "heading": true, "term": true}

// ReadingOrder is the page as assistive technology gets it: one line a node of
// the accessibility tree, indented, with role, level, name and description.
func (p *Page) ReadingOrder(t testing.TB) string {
	t.Helper()
	nodes := Run(t, p, func(ctx context.Context, target *chromedp.Target) ([]*accessibility.Node, error) {
		r, err := cdp.Call(ctx, target, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
		return r.Nodes, err
	})
	tree := axTree{byID: map[accessibility.NodeID]*accessibility.Node{}}
	for _, n := range nodes {
		tree.byID[n.NodeID] = n
	}
	if len(nodes) > 0 {
		tree.write(nodes[0], 0)
	}
	return tree.out.String()
}

type axTree struct {
	byID map[accessibility.NodeID]*accessibility.Node
	out  strings.Builder
}

func (x *axTree) write(n *accessibility.Node, depth int) {
	role := word(n.Role)
	if !n.Ignored && !silent[role] {
		fmt.Fprintf(&x.out, "%s%s%s", strings.Repeat(" ", depth), role, level(n))
		for _, said := range []string{word(n.Name), word(n.Description)} {
			if said != "" {
				fmt.Fprintf(&x.out, " %q", said)
			}
		}
		x.out.WriteByte('\n')
		depth++
	}
	if whole[role] {
		return
	}
	for _, id := range n.ChildIDs {
		if child := x.byID[id]; child != nil {
			x.write(child, depth)
		}
	}
}

func word(v *accessibility.Value) string {
	if v == nil {
		return ""
	}
	var s string
	if json.Unmarshal(v.Value, &s) != nil {
		return string(v.Value)
	}
	return s
}

func level(n *accessibility.Node) string {
	for _, p := range n.Properties {
		if p.Name == accessibility.PropertyNameLevel {
			return " " + word(p.Value)
		}
	}
	return ""
}
