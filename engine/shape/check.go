package shape

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"rootcue/engine/place"
)

// Check holds a document against the shape and reports every slip of form.
// Values that do not fit are marked, so that Get, Fields and Items leave them
// out from then on.
func (s *Shape) Check(n *Node) []place.Problem {
	c := checker{}
	c.value(s, n, "the document")
	return c.problems
}

// CheckPart is Check for a document that changes another one: no key is
// required, and null stands for "take this out".
func (s *Shape) CheckPart(n *Node) []place.Problem {
	c := checker{part: true}
	c.value(s, n, "the document")
	return c.problems
}

type checker struct {
	part     bool
	problems []place.Problem
}

// slip reports a problem and marks the value.
func (c *checker) slip(n *Node, code, found, wanted, hint string) {
	n.bad = true
	c.problems = append(c.problems, n.Problem(code, found, wanted, hint))
}

// value checks one value; what names it for messages.
func (c *checker) value(s *Shape, n *Node, what string) {
	switch {
	case n == nil || n.bad || s.kind == anyKind:
	case n.Kind == Null && c.part:
	case n.Kind == Null:
		c.slip(n, "missing-value", "nothing for "+what, s.wants(), "write a value, or take the key out")
	case s.kind == oneOfKind:
		c.oneOf(s, n, what)
	case !s.fits(n):
		c.slip(n, "wrong-type", n.Describe()+" for "+what, s.wants(), s.typeHint(n))
	case s.kind == numberKind:
		c.number(s, n, what)
	case s.kind == textKind:
		c.text(s, n, what)
	case s.kind == enumKind:
		c.enum(s, n, what)
	case s.kind == listKind:
		c.list(s, n, what)
	case s.kind == mapKind:
		c.entries(s, n, what)
	}
}

// fits reports whether the value's kind is one the shape can take.
func (s *Shape) fits(n *Node) bool {
	switch s.kind {
	case textKind, enumKind:
		return n.Kind == Text
	case boolKind:
		return n.Kind == Bool
	case numberKind:
		return n.Kind == Number
	case listKind:
		return n.Kind == List
	case mapKind:
		return n.Kind == Map
	case anyKind:
		return true
	}
	for _, o := range s.oneOf {
		if o.fits(n) {
			return true
		}
	}
	return false
}

func (c *checker) oneOf(s *Shape, n *Node, what string) {
	for _, o := range s.oneOf {
		if o.fits(n) {
			c.value(o, n, what)
			return
		}
	}
	c.slip(n, "wrong-type", n.Describe()+" for "+what, s.wants(), s.typeHint(n))
}

func (c *checker) number(s *Shape, n *Node, what string) {
	switch {
	case s.whole && n.Number != math.Trunc(n.Number):
		c.slip(n, "wrong-type", n.Describe()+" for "+what, s.wants(), "")
	case n.Number < s.lo || n.Number > s.hi:
		c.slip(n, "out-of-range", n.Describe()+" for "+what, s.wants(), "")
	}
}

func (c *checker) text(s *Shape, n *Node, what string) {
	switch {
	case strings.TrimSpace(n.Text) == "":
		c.slip(n, "missing-value", "an empty text for "+what, s.wants(), "write a text, or take the key out")
	case s.pattern != nil && !s.pattern.MatchString(n.Text):
		c.slip(n, "wrong-form", n.Describe()+" for "+what, s.wants(), "")
	}
}

func (c *checker) enum(s *Shape, n *Node, what string) {
	if !slices.Contains(s.words, n.Text) {
		c.slip(n, "unknown-word", n.Describe()+" for "+what, s.wants(), DidYouMean(n.Text, s.words))
	}
}

func (c *checker) list(s *Shape, n *Node, what string) {
	if len(n.items) < s.least || s.most > 0 && len(n.items) > s.most {
		c.slip(n, "wrong-length", n.Describe()+" for "+what, s.wants(), "")
		return
	}
	for _, it := range n.items {
		c.value(s.item, it, "an item of "+what)
	}
}

func (c *checker) entries(s *Shape, n *Node, what string) {
	if len(n.fields) < s.least || s.most > 0 && len(n.fields) > s.most {
		c.slip(n, "wrong-length", n.Describe()+" for "+what, s.wants(), "")
		return
	}
	unused := s.unused(n)
	for _, f := range n.fields {
		k := s.key(f.Key.Text)
		switch {
		case f.Key.bad:
		case k != nil:
			c.value(k.Shape, f.Value, k.Name)
		case slices.Contains(s.refused, f.Key.Text):
			c.slip(f.Key, "not-here", "the key "+strconv.Quote(f.Key.Text)+" in "+what, "one of the keys "+strings.Join(s.KeyNames(), ", "), s.why)
		case s.free == nil:
			c.slip(f.Key, "unknown-key", "the key "+strconv.Quote(shorten(f.Key.Text))+" in "+what, "one of the keys "+strings.Join(s.KeyNames(), ", "), keyHint(f.Key.Text, unused))
			n.meant = append(n.meant, place.Nearest(f.Key.Text, unused))
		case !s.freeKey.Pattern.MatchString(f.Key.Text):
			c.slip(f.Key, "bad-name", fmt.Sprintf("the name %q", shorten(f.Key.Text)), s.freeKey.What+": "+s.freeKey.Says, s.freeKey.repair(f.Key.Text))
		default:
			c.value(s.free, f.Value, f.Key.Text)
		}
	}
	if !c.part {
		c.required(s, n, what)
		c.someOf(s, n, what)
	}
}

func (c *checker) required(s *Shape, n *Node, what string) {
	for _, k := range s.keys {
		if k.Required && n.raw(k.Name) == nil && !n.Meant(k.Name) {
			c.problems = append(c.problems, n.Spot().Problem("missing-key", "no key "+strconv.Quote(k.Name)+" in "+what, k.Name+": "+k.Shape.wants(), ""))
		}
	}
}

// someOf reports a map that has none of the keys of which it must have one.
func (c *checker) someOf(s *Shape, n *Node, what string) {
	if len(s.some) > 0 && !slices.ContainsFunc(s.some, n.Meant) {
		c.problems = append(c.problems, n.Spot().Problem("missing-key", "none of the keys "+strings.Join(s.some, ", ")+" in "+what, "at least one of them", ""))
	}
}

func (s *Shape) key(name string) *Key {
	for i := range s.keys {
		if s.keys[i].Name == name {
			return &s.keys[i]
		}
	}
	return nil
}

// unused lists the known keys that a map does not use yet: a misspelt key
// was meant to be one of them.
func (s *Shape) unused(n *Node) []string {
	var names []string
	for _, k := range s.keys {
		if n.raw(k.Name) == nil {
			names = append(names, k.Name)
		}
	}
	return names
}

// DidYouMean is the hint for a misspelt word, "" when no known word is near.
func DidYouMean(word string, known []string) string {
	if near := place.Nearest(word, known); near != "" {
		return "did you mean " + strconv.Quote(near) + "?"
	}
	return ""
}

// keyHint is the hint for an unknown key: the one that was meant, or how a
// piece of a text came to be a key.
func keyHint(key string, unused []string) string {
	if strings.ContainsAny(key, "()<>=&|*/+\"'") {
		return "between { and }, a text that contains a comma needs quotes"
	}
	return DidYouMean(key, unused)
}

// repair proposes the name in the form wanted, "" when that is no name either.
func (r *Name) repair(name string) string {
	for _, join := range []string{"-", "_"} {
		fixed := strings.ToLower(strings.Join(strings.FieldsFunc(name, func(c rune) bool {
			return c == ' ' || c == '-' || c == '_' || c == '.'
		}), join))
		if r.Pattern.MatchString(fixed) {
			return "write it as " + strconv.Quote(fixed)
		}
	}
	return ""
}
