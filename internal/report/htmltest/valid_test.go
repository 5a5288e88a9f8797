package htmltest

import (
	"strings"
	"testing"
)

func TestNestingFindsFaults(t *testing.T) {
	for page, want := range map[string]int{
		"<p><b>x</b></p>": 0, "<p><b>x</p></b>": 1, "<div><p>x</p>": 1, "<br><p>x</p>": 0, `<p id="a" id="b">x</p>`: 1, "</p>": 1,
	} {
		if got := Nesting([]byte(page)); len(got) != want {
			t.Errorf("%s: %q", page, got)
		}
	}
}

// TestValidFindsFaults: each kind of fault is found, and nothing in a page
// without any.
func TestValidFindsFaults(t *testing.T) {
	const before, after = "<!DOCTYPE html>\n<html lang=\"en\"><head><title>x</title></head><body><h1>x</h1>", "</body></html>"
	for body, want := range map[string]string{
		`<ul><li>x</li></ul><label for="a">x</label><input id="a"><a href="#a">x</a>`: "",
		`<div><li>x</li></div>`:                "<li> in <div>",
		`<ul><p>x</p></ul>`:                    "<p> in <ul>",
		`<ul><li></li></ul>`:                   "an empty <li>",
		`<p id="a">x</p><p id="a">x</p>`:       "id a twice",
		`<p aria-describedby="b">x</p>`:        `refers to "b"`,
		`<input name="x">`:                     "has no label",
		`<h3>x</h3>`:                           "h3 after h1",
		`<p style="color:red">x</p>`:           "has style",
		`<p onclick="x()">x</p>`:               "has onclick",
		`<svg role="img"></svg>`:               "without role, title and desc",
		`<label>x <input type="text"></label>`: "",
	} {
		got := strings.Join(Valid(t, []byte(before+body+after)), "; ")
		if (want == "") != (got == "") || !strings.Contains(got, want) {
			t.Errorf("%s: %q, wanted %q", body, got, want)
		}
	}
}
