// Package shape reads YAML documents strictly. One table, a Shape, says what
// a document may hold; the form check, the JSON Schema for editors and the
// decoders all use it. Every value keeps its line and column, and all slips
// of a document are reported at once.
package shape

import (
	"math"
	"regexp"
)

// A Shape says what a value may be. Shapes are built once by the functions
// below and are not changed after; any number of goroutines may use them.
type Shape struct {
	kind        kind
	title, text string   // for people, in the JSON Schema
	words       []string // enum
	pattern     *regexp.Regexp
	says        string // what the pattern asks for, in words
	lo, hi      float64
	whole       bool // only integers
	item        *Shape
	least, most int // items of a list, entries of a map; most 0 = no limit
	keys        []Key
	free        *Shape // values under keys other than keys; nil: none allowed
	freeKey     *Name
	oneOf       []*Shape
	def         string   // name under which the JSON Schema holds it once
	refused     []string // keys of a map that belong elsewhere
	why         string   // and why they do not belong here
	some        []string // keys of a map of which one must be there
}

type kind int

const (
	textKind kind = iota
	boolKind
	numberKind
	enumKind
	listKind
	mapKind
	oneOfKind
	anyKind
)

// A Key is one key that a map may hold.
type Key struct {
	Name, Title, Description string
	Required                 bool
	Shape                    *Shape
}

// Need is a key that must be there.
func Need(name, title, description string, s *Shape) Key {
	return Key{name, title, description, true, s}
}

// May is a key that may be left out.
func May(name, title, description string, s *Shape) Key {
	return Key{name, title, description, false, s}
}

// A Name is a rule for names: what they are called, their pattern (RE2,
// anchored) and the pattern in words.
type Name struct {
	What    string
	Pattern *regexp.Regexp
	Says    string
}

// Str is any text that is not empty.
func Str() *Shape { return &Shape{kind: textKind} }

// Matching is a text that matches a pattern; says names it in words.
func Matching(pattern, says string) *Shape {
	return &Shape{kind: textKind, pattern: regexp.MustCompile(pattern), says: says}
}

// Named is a text that is a name by the rule.
func Named(n *Name) *Shape {
	return &Shape{kind: textKind, pattern: n.Pattern, says: n.What + " (" + n.Says + ")"}
}

// YesNo is true or false.
func YesNo() *Shape { return &Shape{kind: boolKind} }

// Num is any finite number.
func Num() *Shape { return Range(math.Inf(-1), math.Inf(1)) }

// Range is a finite number from lo to hi, both included.
func Range(lo, hi float64) *Shape { return &Shape{kind: numberKind, lo: lo, hi: hi} }

// Whole is a whole number from lo to hi, both included.
func Whole(lo, hi int) *Shape {
	return &Shape{kind: numberKind, lo: float64(lo), hi: float64(hi), whole: true}
}

// Enum is one of a few words.
func Enum(words ...string) *Shape { return &Shape{kind: enumKind, words: words} }

// ListOf is a list of least to most items; most 0 sets no limit.
func ListOf(item *Shape, least, most int) *Shape {
	return &Shape{kind: listKind, item: item, least: least, most: most}
}

// Object is a map with known keys.
func Object(keys ...Key) *Shape { return &Shape{kind: mapKind, keys: keys} }

// MapOf is a map whose keys are names by the rule, beside the known keys.
func MapOf(name *Name, value *Shape, keys ...Key) *Shape {
	return &Shape{kind: mapKind, keys: keys, free: value, freeKey: name}
}

// OneOf is a value of the first of several shapes that fits its kind (text,
// number, yes-no, list, map).
func OneOf(shapes ...*Shape) *Shape { return &Shape{kind: oneOfKind, oneOf: shapes} }

// Any is any value; another reader checks it.
func Any() *Shape { return &Shape{kind: anyKind} }

// Refuse names keys that do not belong into a map although an author may
// expect them there, and says why.
func (s *Shape) Refuse(why string, keys ...string) *Shape {
	c := *s
	c.refused, c.why = keys, why
	return &c
}

// Some asks for at least one of some keys in a map.
func (s *Shape) Some(keys ...string) *Shape {
	c := *s
	c.some = keys
	return &c
}

// Sized asks for least to most entries in a map; most 0 sets no limit.
func (s *Shape) Sized(least, most int) *Shape {
	c := *s
	c.least, c.most = least, most
	return &c
}

// Def names the shape: the JSON Schema holds it once under that name.
func (s *Shape) Def(name, title, description string) *Shape {
	c := *s
	c.def, c.title, c.text = name, title, description
	return &c
}

// KeyNames lists the known keys of a map.
func (s *Shape) KeyNames() []string {
	names := make([]string, len(s.keys))
	for i, k := range s.keys {
		names[i] = k.Name
	}
	return names
}
