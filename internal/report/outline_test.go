package report

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// element walks to every element, parents first.
func elements(n *html.Node, visit func(*html.Node)) {
	if n.Type == html.ElementNode {
		visit(n)
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		elements(c, visit)
	}
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

// textOf is all text inside an element, in one line.
func textOf(n *html.Node) string {
	var b strings.Builder
	var walk func(*html.Node)
	walk = func(n *html.Node) {
		if n.Type == html.TextNode {
			b.WriteString(n.Data)
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c)
		}
	}
	walk(n)
	return strings.Join(strings.Fields(b.String()), " ")
}

// outline is a page by its structure: elements with what matters to a reader,
// and their texts. A drawing is its title, its description and how many shapes
// it has of each class; where they lie is not part of it.
func outline(t *testing.T, page []byte) string {
	t.Helper()
	root, err := html.Parse(strings.NewReader(string(page)))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	outlineOf(&b, root, 0)
	return b.String()
}

func outlineOf(b *strings.Builder, n *html.Node, depth int) {
	pad := strings.Repeat(" ", depth)
	switch {
	case n.Type == html.TextNode && strings.TrimSpace(n.Data) != "":
		fmt.Fprintf(b, "%s%q\n", pad, strings.Join(strings.Fields(n.Data), " "))
	case n.Type == html.ElementNode && n.Data == "svg":
		fmt.Fprintf(b, "%ssvg %s\n", pad, drawingInWords(n))
		return
	case n.Type == html.ElementNode && n.Data == "style":
		return
	case n.Type == html.ElementNode:
		b.WriteString(pad + n.Data)
		for _, key := range []string{"lang", "id", "class", "role", "href", "tabindex", "aria-label", "aria-labelledby"} {
			if v := attr(n, key); v != "" {
				fmt.Fprintf(b, " %s=%q", key, v)
			}
		}
		b.WriteByte('\n')
		depth++
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		outlineOf(b, c, depth)
	}
}

func drawingInWords(svg *html.Node) string {
	shapes := map[string]int{}
	var said []string
	elements(svg, func(n *html.Node) {
		switch n.Data {
		case "title", "desc", "text":
			said = append(said, fmt.Sprintf("%s %q", n.Data, textOf(n)))
		case "path", "circle":
			shapes[n.Data+"."+strings.ReplaceAll(attr(n, "class"), " ", ".")]++
		}
	})
	var counts []string
	for class, n := range shapes {
		counts = append(counts, fmt.Sprintf("%s×%d", class, n))
	}
	slices.Sort(counts)
	return strings.Join(append(said, counts...), ", ")
}

// TestPagesByStructure holds pages by their structure.
func TestPagesByStructure(t *testing.T) {
	all := demos(t)
	for _, name := range []string{"full", "spanish", "flying", "stopped", "blocking"} {
		t.Run(name, func(t *testing.T) { golden(t, name, outline(t, written(t, all[name]))) })
	}
}
