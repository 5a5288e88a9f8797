// Package htmltest looks at pages for tests: whether their HTML is valid, and
// what their structure is.
package htmltest

import (
	"bytes"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// Parse reads a page as browsers do.
func Parse(t testing.TB, page []byte) *html.Node {
	t.Helper()
	root, err := html.Parse(bytes.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	return root
}

// Elements walks to every element, parents first.
func Elements(n *html.Node, visit func(*html.Node)) {
	if n.Type == html.ElementNode {
		visit(n)
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		Elements(c, visit)
	}
}

// Attr is an attribute's value, "" without it.
func Attr(n *html.Node, key string) string {
	value, _ := find(n, key)
	return value
}

func find(n *html.Node, key string) (string, bool) {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val, true
		}
	}
	return "", false
}

// Text is all text inside an element, in one line.
func Text(n *html.Node) string {
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
