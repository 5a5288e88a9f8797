package report

import (
	"crypto/sha256"
	"encoding/base64"
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

// nesting lists what is wrong with the tags of a page, read token by token:
// the parser of the HTML standard mends all of it in silence.
func nesting(page []byte) (wrong []string) {
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
				wrong = append(wrong, fmt.Sprintf("</%s> closes %v", name, open))
				return wrong
			}
			open = open[:len(open)-1]
		}
	}
}

func TestNestingFindsFaults(t *testing.T) {
	for page, want := range map[string]int{
		"<p><b>x</b></p>": 0, "<p><b>x</p></b>": 1, "<div><p>x</p>": 1, "<br><p>x</p>": 0, `<p id="a" id="b">x</p>`: 1, "</p>": 1,
	} {
		if got := nesting([]byte(page)); len(got) != want {
			t.Errorf("%s: %q", page, got)
		}
	}
}

// parents are the only parents that an element may have (WHATWG HTML, content
// models of section 4.4 and 4.11).
var parents = map[string][]string{"li": {"ul", "ol"}, "dt": {"dl", "div"}, "dd": {"dl", "div"}, "summary": {"details"}, "title": {"head", "svg"}, "desc": {"svg"}}

// phrasing are elements that hold no block.
var phrasing = []string{"p", "span", "strong", "a", "h1", "h2", "h3", "summary", "dt"}

var blocks = []string{"p", "div", "ul", "ol", "dl", "section", "article", "h1", "h2", "h3", "details", "li", "dd", "dt"}

// TestValidHTML: well nested, each child where it may stand, ids once, every
// reference leads somewhere, headings in order, drawings with title and
// description, a language, no script, no style outside the one element.
func TestValidHTML(t *testing.T) {
	for name, in := range demos(t) {
		t.Run(name, func(t *testing.T) {
			page := written(t, in)
			for _, w := range nesting(page) {
				t.Error(w)
			}
			root, err := html.Parse(strings.NewReader(string(page)))
			if err != nil {
				t.Fatal(err)
			}
			checkPlaces(t, root)
			checkIDs(t, root)
			checkHeadings(t, root)
			checkDrawings(t, root)
			if !strings.HasPrefix(string(page), "<!DOCTYPE html>\n<html lang=") {
				t.Errorf("the page starts %q", page[:40])
			}
			if kb := float64(len(page)) / 1024; kb > 100 {
				t.Errorf("%.0f KB, wanted 100 at most", kb)
			}
		})
	}
}

func checkPlaces(t *testing.T, root *html.Node) {
	t.Helper()
	styles := 0
	elements(root, func(n *html.Node) {
		if want := parents[n.Data]; want != nil && !slices.Contains(want, n.Parent.Data) {
			t.Errorf("<%s> in <%s>", n.Data, n.Parent.Data)
		}
		if slices.Contains(blocks, n.Data) && slices.Contains(phrasing, n.Parent.Data) {
			t.Errorf("<%s> in <%s>", n.Data, n.Parent.Data)
		}
		for _, a := range n.Attr {
			if a.Key == "style" || strings.HasPrefix(a.Key, "on") {
				t.Errorf("<%s> has %s", n.Data, a.Key)
			}
		}
		switch n.Data {
		case "script", "iframe", "img", "link", "form", "object":
			t.Errorf("a <%s>", n.Data)
		case "style":
			styles++
		case "p", "li", "dd", "dt", "h1", "h2", "h3":
			if textOf(n) == "" {
				t.Errorf("an empty <%s> in <%s>", n.Data, n.Parent.Data)
			}
		}
	})
	if styles != 1 {
		t.Errorf("%d style elements", styles)
	}
}

func checkIDs(t *testing.T, root *html.Node) {
	t.Helper()
	ids := map[string]bool{}
	elements(root, func(n *html.Node) {
		if id := attr(n, "id"); id != "" {
			if ids[id] {
				t.Errorf("id %s twice", id)
			}
			ids[id] = true
		}
	})
	elements(root, func(n *html.Node) {
		refs := append(strings.Fields(attr(n, "aria-labelledby")), strings.Fields(attr(n, "aria-describedby"))...)
		if href := attr(n, "href"); href != "" {
			refs = append(refs, strings.TrimPrefix(href, "#"))
		}
		if fill := attr(n, "fill"); fill != "" {
			refs = append(refs, strings.TrimSuffix(strings.TrimPrefix(fill, "url(#"), ")"))
		}
		for _, ref := range refs {
			if !ids[ref] {
				t.Errorf("<%s> refers to %q, which is nowhere", n.Data, ref)
			}
		}
	})
}

func checkHeadings(t *testing.T, root *html.Node) {
	t.Helper()
	last, tops := 0, 0
	elements(root, func(n *html.Node) {
		if len(n.Data) != 2 || n.Data[0] != 'h' || n.Data[1] < '1' || n.Data[1] > '6' {
			return
		}
		level := int(n.Data[1] - '0')
		if level > last+1 {
			t.Errorf("h%d after h%d: %s", level, last, textOf(n))
		}
		if level == 1 {
			tops++
		}
		last = level
	})
	if tops != 1 {
		t.Errorf("%d h1", tops)
	}
}

func checkDrawings(t *testing.T, root *html.Node) {
	t.Helper()
	elements(root, func(n *html.Node) {
		if n.Data != "svg" {
			return
		}
		if attr(n, "role") != "img" || n.FirstChild == nil || n.FirstChild.Data != "title" || n.FirstChild.NextSibling.Data != "desc" {
			t.Error("a drawing without role, title and desc at its start")
			return
		}
		if textOf(n.FirstChild) == "" || textOf(n.FirstChild.NextSibling) == "" {
			t.Error("a drawing with an empty title or desc")
		}
		elements(n, func(shape *html.Node) {
			if d := attr(shape, "d"); strings.Contains(d, "NaN") || strings.Contains(d, "Inf") {
				t.Errorf("a path of %s: %s", attr(shape, "class"), d)
			}
		})
	})
}

// TestPolicyFitsTheStyle: the hash in the policy is of the style element's bytes
// as they stand in the page (Content Security Policy Level 3, 6.7.2).
func TestPolicyFitsTheStyle(t *testing.T) {
	page := string(written(t, demos(t)["alone"]))
	_, after, _ := strings.Cut(page, "<style>")
	style, _, ok := strings.Cut(after, "</style>")
	sum := sha256.Sum256([]byte(style))
	want := "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'; base-uri 'none'; form-action 'none'"
	if !ok || ContentSecurityPolicy != want {
		t.Errorf("policy %s\nwanted %s", ContentSecurityPolicy, want)
	}
}
