package api

import (
	"errors"
	"testing"

	"rootcue/engine/place"
	"rootcue/engine/shape"
)

// Values of a JSON body read as YAML keep their JSON Pointers, whatever the
// layout, escapes and characters before them.
func TestFlatPointers(t *testing.T) {
	body := "{\n\t\"a\"\n:\t{\"b~/c\": [1, \"sch\\u00fcler \\ud83d\\ude00\", {\"d\": true}]}, \"e\": null}"
	f, err := readFlat([]byte(body))
	if err != nil {
		t.Fatal(err)
	}
	root, slips := shape.Read("", f)
	if len(slips) > 0 {
		t.Fatal(slips)
	}
	list := root.Get("a").Get("b~/c")
	for _, c := range []struct {
		slip place.Problem
		want string
	}{
		{root.Problem("x", "", "", ""), ""},
		{root.Get("a").Problem("x", "", "", ""), "/a"},
		{root.Fields()[0].Key.Problem("x", "", "", ""), "/a"},
		{list.Problem("x", "", "", ""), "/a/b~0~1c"},
		{list.Items()[0].Problem("x", "", "", ""), "/a/b~0~1c/0"},
		{list.Items()[1].Problem("x", "", "", ""), "/a/b~0~1c/1"},
		{list.Items()[2].Get("d").Problem("x", "", "", ""), "/a/b~0~1c/2/d"},
	} {
		got := f.pointed([]place.Problem{c.slip})[0]
		if got.Pointer != c.want || got.Line != 0 || got.Column != 0 {
			t.Errorf("pointer %q, line %d, wanted %q", got.Pointer, got.Line, c.want)
		}
	}
	for _, bad := range []string{"", "{", "{} {}", `{"a": 1, "a": 2}`, "a: 1", "\xff"} {
		var p *Problem
		if _, err := readFlat([]byte(bad)); !errors.As(err, &p) || p.Status != 400 {
			t.Errorf("%q: %v", bad, err)
		}
	}
}
