package shape

import (
	"slices"
	"strconv"

	"rootcue/engine/place"
)

// A Kind says what a value is.
type Kind int

// The kinds of value. Dates are Text.
const (
	Null Kind = iota
	Bool
	Number
	Text
	List
	Map
)

// A Node is one value of a document. Its methods may be called on nil, which
// stands for a value that is absent, null or of the wrong form: a decoder can
// walk a faulty document without reporting a slip twice.
type Node struct {
	Kind         Kind
	Line, Column int     // of the value's first character, from 1
	Text         string  // a scalar as decoded; the number as written
	Number       float64 // of a Number
	Bool         bool    // of a Bool
	items        []*Node
	fields       []Field
	index        map[string]int // position of each key in fields
	key          *Node          // under which the value stands, nil in a list
	doc          *document
	style        style
	bad          bool     // already reported as being of the wrong form
	meant        []string // keys that misspelt ones of a map, reported already, were likely to be
}

// A Field is a key of a map with its value.
type Field struct{ Key, Value *Node }

// document is what all nodes of one file share.
type document struct {
	file  string
	lines *place.Lines
	src   []byte
}

// style says how a scalar is written.
type style int

const (
	plain style = iota
	singleQuoted
	doubleQuoted
	block
)

// OK reports whether the value is there, not null and of the right form.
func (n *Node) OK() bool { return n != nil && !n.bad && n.Kind != Null }

// Get finds the value under a key of a map; nil unless it is OK.
func (n *Node) Get(key string) *Node {
	if v := n.raw(key); v.OK() {
		return v
	}
	return nil
}

// Has reports whether a map holds a key with a value other than null, be it
// of the right form or not.
func (n *Node) Has(key string) bool {
	v := n.raw(key)
	return v != nil && v.Kind != Null
}

// Meant reports whether a map has the key or a misspelt one that was likely to
// be it: that slip is reported, and the key is not missing as well.
func (n *Node) Meant(key string) bool {
	return n.Has(key) || n != nil && slices.Contains(n.meant, key)
}

func (n *Node) raw(key string) *Node {
	if n == nil {
		return nil
	}
	if i, ok := n.index[key]; ok {
		return n.fields[i].Value
	}
	return nil
}

// add appends an entry; its key must be new.
func (n *Node) add(f Field) {
	if n.index == nil {
		n.index = map[string]int{}
	}
	n.index[f.Key.Text] = len(n.fields)
	n.fields = append(n.fields, f)
}

// Key finds the node of a key itself, nil if the map lacks it.
func (n *Node) Key(key string) *Node {
	if n != nil {
		if i, ok := n.index[key]; ok {
			return n.fields[i].Key
		}
	}
	return nil
}

// Fields lists the well-formed entries of a map, in the order of the file.
func (n *Node) Fields() []Field {
	if n == nil {
		return nil
	}
	good := make([]Field, 0, len(n.fields))
	for _, f := range n.fields {
		if f.Key.OK() && f.Value.OK() {
			good = append(good, f)
		}
	}
	return good
}

// Spoilt lists the keys of a map whose values are of the wrong form: names
// that are declared, if badly.
func (n *Node) Spoilt() []*Node {
	var keys []*Node
	if n != nil {
		for _, f := range n.fields {
			if f.Key.OK() && !f.Value.OK() {
				keys = append(keys, f.Key)
			}
		}
	}
	return keys
}

// Items lists the well-formed items of a list.
func (n *Node) Items() []*Node {
	if n == nil {
		return nil
	}
	good := make([]*Node, 0, len(n.items))
	for _, it := range n.items {
		if it.OK() {
			good = append(good, it)
		}
	}
	return good
}

// String is the text of a scalar, "" for anything else.
func (n *Node) String() string {
	if n == nil {
		return ""
	}
	return n.Text
}

// Float is the number, or otherwise where there is none.
func (n *Node) Float(otherwise float64) float64 {
	if n == nil || n.Kind != Number {
		return otherwise
	}
	return n.Number
}

// Int is the whole number, or otherwise where there is none.
func (n *Node) Int(otherwise int) int {
	if n == nil || n.Kind != Number {
		return otherwise
	}
	return int(n.Number)
}

// True reports whether the value is the yes-no value true.
func (n *Node) True() bool { return n != nil && n.Kind == Bool && n.Bool }

// Spot is where to point for what is missing in the value: at its key, or at
// the value itself where it has none.
func (n *Node) Spot() *Node {
	if n.key != nil {
		return n.key
	}
	return n
}

// Problem reports a slip at the value's place.
func (n *Node) Problem(code, found, wanted, hint string) place.Problem {
	return place.Problem{Code: code, File: n.doc.file, Line: n.Line, Column: n.Column, Found: found, Wanted: wanted, Hint: hint}
}

// Warning is Problem for what leaves the document usable.
func (n *Node) Warning(code, found, wanted, hint string) place.Problem {
	p := n.Problem(code, found, wanted, hint)
	p.Warning = true
	return p
}

// Describe names the value in words, for "found …".
func (n *Node) Describe() string {
	switch {
	case n == nil || n.Kind == Null:
		return "nothing"
	case n.Kind == Bool:
		return "the yes-no value " + n.Text
	case n.Kind == Number:
		return "the number " + n.Text
	case n.Kind == Text:
		return "the text " + strconv.Quote(shorten(n.Text))
	case n.Kind == List:
		return "a list of " + count(len(n.items), "item")
	}
	return "a map of " + count(len(n.fields), "key")
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}

// shorten cuts a long text for a message.
func shorten(s string) string {
	const most = 60
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return string(r[:most-1]) + "…"
}
