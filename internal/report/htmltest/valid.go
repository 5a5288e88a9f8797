package htmltest

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// void are the elements that have no end tag (WHATWG HTML, 13.1.2).
var void = []string{"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}

var attribute = regexp.MustCompile(`\s([a-zA-Z-]+)="[^"]*"`)

// Nesting lists what is wrong with the tags of a page, read token by token: the
// parser of the HTML standard mends all of it in silence.
func Nesting(page []byte) (wrong []string) {
	z := html.NewTokenizer(strings.NewReader(string(page)))
	var open []string
	for {
		switch z.Next() {
		case html.ErrorToken:
			if len(open) > 0 {
				wrong = append(wrong, fmt.Sprintf("never closed: %v", open))
			}
			return wrong
		case html.StartTagToken:
			raw := string(z.Raw()) // before the tokenizer drops what stands twice
			token := z.Token()
			if !slices.Contains(void, token.Data) {
				open = append(open, token.Data)
			}
			seen := map[string]bool{}
			for _, a := range attribute.FindAllStringSubmatch(raw, -1) {
				if seen[a[1]] {
					wrong = append(wrong, fmt.Sprintf("<%s> has %s twice", token.Data, a[1]))
				}
				seen[a[1]] = true
			}
		case html.EndTagToken:
			name := z.Token().Data
			if len(open) == 0 || open[len(open)-1] != name {
				return append(wrong, fmt.Sprintf("</%s> closes %v", name, open))
			}
			open = open[:len(open)-1]
		}
	}
}

// Valid lists what is wrong with a page: tags that are not well nested, children
// where they may not stand, ids twice, references that lead nowhere, labels
// without a field and fields without a label, headings out of order, drawings
// without title and description, styles and handlers of events in place.
func Valid(t testing.TB, page []byte) []string {
	t.Helper()
	root := Parse(t, page)
	wrong := slices.Concat(Nesting(page), places(root), references(root), fields(root), headings(root), drawings(root))
	if !strings.HasPrefix(string(page), "<!DOCTYPE html>\n<html lang=") {
		wrong = append(wrong, "the page does not start with a doctype and a language")
	}
	return wrong
}

// parents are the only parents that an element may have (WHATWG HTML, content
// models of sections 4.4, 4.9 and 4.11).
var parents = map[string][]string{
	"li": {"ul", "ol"}, "dt": {"dl", "div"}, "dd": {"dl", "div"}, "summary": {"details"}, "legend": {"fieldset"}, "figcaption": {"figure"},
	"title": {"head", "svg"}, "desc": {"svg"}, "tr": {"thead", "tbody", "tfoot"}, "td": {"tr"}, "th": {"tr"}, "option": {"select", "datalist", "optgroup"},
}

// children are the only children that an element may have (the same).
var children = map[string][]string{"ul": {"li"}, "ol": {"li"}, "dl": {"div", "dt", "dd"}, "thead": {"tr"}, "tbody": {"tr"}, "tr": {"th", "td"}, "select": {"option", "optgroup"}}

// phrasing are elements that hold no block.
var phrasing = []string{"p", "span", "strong", "a", "h1", "h2", "h3", "dt", "label", "button", "legend"}

var blocks = []string{"p", "div", "ul", "ol", "dl", "section", "article", "h1", "h2", "h3", "details", "li", "dd", "dt", "table", "fieldset", "form"}

func places(root *html.Node) (wrong []string) {
	Elements(root, func(n *html.Node) {
		if n.Parent.Type == html.ElementNode {
			in := n.Parent.Data
			if want := parents[n.Data]; want != nil && !slices.Contains(want, in) {
				wrong = append(wrong, fmt.Sprintf("<%s> in <%s>", n.Data, in))
			}
			if may := children[in]; may != nil && !slices.Contains(may, n.Data) {
				wrong = append(wrong, fmt.Sprintf("<%s> in <%s>", n.Data, in))
			}
			if slices.Contains(blocks, n.Data) && slices.Contains(phrasing, in) && !(in == "a" && n.Parent.Parent.Data != "p") {
				wrong = append(wrong, fmt.Sprintf("<%s> in <%s>", n.Data, in))
			}
		}
		for _, a := range n.Attr {
			if a.Key == "style" || strings.HasPrefix(a.Key, "on") {
				wrong = append(wrong, fmt.Sprintf("<%s> has %s", n.Data, a.Key))
			}
		}
		switch n.Data {
		case "li", "dd", "dt", "h1", "h2", "h3", "legend", "th":
			if Text(n) == "" {
				wrong = append(wrong, fmt.Sprintf("an empty <%s> in <%s>", n.Data, n.Parent.Data))
			}
		}
	})
	return wrong
}

// pointers are the attributes that name ids of the same page.
var pointers = []string{"aria-labelledby", "aria-describedby", "for", "list"}

func references(root *html.Node) (wrong []string) {
	ids := map[string]bool{}
	Elements(root, func(n *html.Node) {
		if id := Attr(n, "id"); id != "" {
			if ids[id] {
				wrong = append(wrong, fmt.Sprintf("id %s twice", id))
			}
			ids[id] = true
		}
	})
	Elements(root, func(n *html.Node) {
		var refs []string
		for _, p := range pointers {
			refs = append(refs, strings.Fields(Attr(n, p))...)
		}
		if href, ok := strings.CutPrefix(Attr(n, "href"), "#"); ok {
			refs = append(refs, href)
		}
		if fill, ok := strings.CutPrefix(Attr(n, "fill"), "url(#"); ok {
			refs = append(refs, strings.TrimSuffix(fill, ")"))
		}
		for _, ref := range refs {
			if !ids[ref] {
				wrong = append(wrong, fmt.Sprintf("<%s> refers to %q, which is nowhere", n.Data, ref))
			}
		}
	})
	return wrong
}

// fields lists what a person fills in and nothing names.
func fields(root *html.Node) (wrong []string) {
	named := map[string]bool{}
	Elements(root, func(n *html.Node) {
		if n.Data == "label" {
			named[Attr(n, "for")] = true
		}
	})
	Elements(root, func(n *html.Node) {
		if !slices.Contains([]string{"input", "select", "textarea"}, n.Data) || Attr(n, "type") == "hidden" {
			return
		}
		in := n.Parent
		for in != nil && in.Data != "label" {
			in = in.Parent
		}
		if in == nil && !named[Attr(n, "id")] && Attr(n, "aria-label") == "" {
			wrong = append(wrong, fmt.Sprintf("<%s name=%q> has no label", n.Data, Attr(n, "name")))
		}
	})
	return wrong
}

func headings(root *html.Node) (wrong []string) {
	last, tops := 0, map[*html.Node]int{} // in a bundle of reports each article has its own
	Elements(root, func(n *html.Node) {
		if len(n.Data) != 2 || n.Data[0] != 'h' || n.Data[1] < '1' || n.Data[1] > '6' {
			return
		}
		level := int(n.Data[1] - '0')
		if level > last+1 {
			wrong = append(wrong, fmt.Sprintf("h%d after h%d: %s", level, last, Text(n)))
		}
		if level == 1 {
			tops[article(n)]++
		}
		last = level
	})
	for _, n := range tops {
		if n != 1 {
			wrong = append(wrong, fmt.Sprintf("%d h1", n))
		}
	}
	if len(tops) == 0 {
		wrong = append(wrong, "0 h1")
	}
	return wrong
}

// article is the article that an element stands in, nil for none.
func article(n *html.Node) *html.Node {
	for n != nil && n.Data != "article" {
		n = n.Parent
	}
	return n
}

func drawings(root *html.Node) (wrong []string) {
	Elements(root, func(n *html.Node) {
		if n.Data != "svg" {
			return
		}
		title := n.FirstChild
		if Attr(n, "role") != "img" || title == nil || title.Data != "title" || title.NextSibling.Data != "desc" {
			wrong = append(wrong, "a drawing without role, title and desc at its start")
			return
		}
		if Text(title) == "" || Text(title.NextSibling) == "" {
			wrong = append(wrong, "a drawing with an empty title or desc")
		}
		Elements(n, func(shape *html.Node) {
			if d := Attr(shape, "d"); strings.Contains(d, "NaN") || strings.Contains(d, "Inf") {
				wrong = append(wrong, fmt.Sprintf("a path of %s: %s", Attr(shape, "class"), d))
			}
		})
	})
	return wrong
}
