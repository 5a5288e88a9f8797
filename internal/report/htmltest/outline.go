package htmltest

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// Outline is a page by its structure: elements with what matters to a reader,
// and their texts. A drawing is its title, its description and how many shapes
// it has of each class; where they lie is not part of it.
func Outline(t testing.TB, page []byte) string {
	t.Helper()
	var b strings.Builder
	outlineOf(&b, Parse(t, page), 0)
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
	case n.Type == html.ElementNode && (n.Data == "style" || n.Data == "script"):
		return
	case n.Type == html.ElementNode:
		b.WriteString(pad + n.Data)
		for _, key := range []string{"lang", "id", "class", "role", "href", "tabindex", "aria-label", "aria-labelledby"} {
			if v := Attr(n, key); v != "" {
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
	Elements(svg, func(n *html.Node) {
		switch n.Data {
		case "title", "desc", "text":
			said = append(said, fmt.Sprintf("%s %q", n.Data, Text(n)))
		case "path", "circle":
			shapes[n.Data+"."+strings.ReplaceAll(Attr(n, "class"), " ", ".")]++
		}
	})
	var counts []string
	for class, n := range shapes {
		counts = append(counts, fmt.Sprintf("%s×%d", class, n))
	}
	slices.Sort(counts)
	return strings.Join(append(said, counts...), ", ")
}
