package shape

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"rootcue/engine/place"
)

// Limits on a document. They hold before anything walks it, so that no
// document can exhaust the reader.
const (
	MaxBytes = 256 << 10
	MaxDepth = 50
)

// Read parses one YAML document (JSON is one too). The node is nil where
// nothing of the document can be used; otherwise the problems are slips that
// leave the rest readable, such as a repeated key.
func Read(file string, src []byte) (*Node, []place.Problem) {
	at := func(line, column int, code, found, wanted, hint string) []place.Problem {
		return []place.Problem{{Code: code, File: file, Line: line, Column: column, Found: found, Wanted: wanted, Hint: hint}}
	}
	lines := place.NewLines(src)
	switch {
	case len(src) > MaxBytes:
		return nil, at(1, 1, "too-large", fmt.Sprintf("%d bytes", len(src)), fmt.Sprintf("at most %d bytes (256 KiB)", MaxBytes), "")
	case !utf8.Valid(src):
		line, column := lines.Position(badByte(src))
		return nil, at(line, column, "not-utf8", "bytes that are not UTF-8", "text in UTF-8", "save the file with the encoding UTF-8")
	}
	if p := tooDeep(src); p >= 0 {
		line, column := lines.Position(p)
		return nil, at(line, column, "too-deep", fmt.Sprintf("more than %d levels of nesting", MaxDepth), fmt.Sprintf("at most %d levels", MaxDepth), "")
	}
	root, second, err := decode(src)
	if err != nil {
		line, found, hint := syntax(err, lines, src)
		return nil, at(line, firstColumn(lines.Line(line)), "not-yaml", found, "a YAML document", hint)
	}
	if root == nil || len(root.Content) == 0 || emptyDocument(root.Content[0]) {
		return nil, at(1, 1, "empty", "an empty document", "a YAML document with keys and values", "")
	}
	r := reader{doc: &document{file: file, lines: lines, src: src}}
	if second != nil {
		r.report(second, "second-document", "a second document", "one document in a file", "take out the line --- or move what follows it to a file of its own")
	}
	n := r.node(root.Content[0], 1)
	if r.tooDeep {
		return nil, r.problems
	}
	return n, r.problems
}

func emptyDocument(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Tag == "!!null"
}

// badByte finds the first byte that is not UTF-8.
func badByte(src []byte) int {
	at := 0
	for at < len(src) {
		r, n := utf8.DecodeRune(src[at:])
		if r == utf8.RuneError && n == 1 {
			return at
		}
		at += n
	}
	return at
}

// tooDeep finds where a run of opening brackets passes what any document of
// MaxDepth could hold, -1 if none does. It spares the parser such runs; the
// exact depth is counted on the nodes.
func tooDeep(src []byte) int {
	run := 0
	for i, c := range src {
		switch c {
		case '[', '{':
			if run++; run > MaxDepth {
				return i
			}
		case ' ', '\t', '\n', '\r':
		default:
			run = 0
		}
	}
	return -1
}

// decode gives the document and, where there is one, the second document.
// The parser's own panics on input it did not foresee are its errors.
func decode(src []byte) (first, second *yaml.Node, err error) {
	defer func() {
		if r := recover(); r != nil {
			first, second, err = nil, nil, fmt.Errorf("yaml: %v", r)
		}
	}()
	d := yaml.NewDecoder(bytes.NewReader(src))
	var a, b yaml.Node
	if err := d.Decode(&a); err != nil {
		if errors.Is(err, io.EOF) {
			return nil, nil, nil
		}
		return nil, nil, err
	}
	switch err := d.Decode(&b); {
	case errors.Is(err, io.EOF):
		return &a, nil, nil
	case err != nil:
		return nil, nil, err
	}
	return &a, &b, nil
}

// firstColumn is the column of the first character that is no blank.
func firstColumn(line string) int {
	return utf8.RuneCountInString(line) - utf8.RuneCountInString(strings.TrimLeft(line, " \t")) + 1
}

// A reader turns YAML nodes into ours and collects what it refuses.
type reader struct {
	doc      *document
	problems []place.Problem
	tooDeep  bool
}

func (r *reader) report(y *yaml.Node, code, found, wanted, hint string) {
	line, column := y.Line, y.Column
	if y.Kind == yaml.DocumentNode && len(y.Content) > 0 {
		line, column = y.Content[0].Line, y.Content[0].Column
	}
	r.problems = append(r.problems, place.Problem{Code: code, File: r.doc.file, Line: line, Column: column, Found: found, Wanted: wanted, Hint: hint})
}

func (r *reader) node(y *yaml.Node, depth int) *Node {
	n := &Node{Line: y.Line, Column: y.Column, doc: r.doc, style: styleOf(y)}
	if depth > MaxDepth {
		if !r.tooDeep {
			r.report(y, "too-deep", fmt.Sprintf("more than %d levels of nesting", MaxDepth), fmt.Sprintf("at most %d levels", MaxDepth), "")
		}
		r.tooDeep, n.bad = true, true
		return n
	}
	if what, hint := refused(y); what != "" {
		r.report(y, "not-plain", what, "plain values written out in full", hint)
		n.bad = true
	}
	switch y.Kind {
	case yaml.MappingNode:
		r.fields(n, y, depth)
	case yaml.SequenceNode:
		n.Kind = List
		for _, c := range y.Content {
			n.items = append(n.items, r.node(c, depth+1))
		}
	case yaml.ScalarNode:
		r.scalar(n, y)
	}
	return n
}

// refused names what a document may not use although YAML has it.
func refused(y *yaml.Node) (what, hint string) {
	switch {
	case y.Kind == yaml.AliasNode:
		return "the alias *" + y.Value, "write the value out where it is used"
	case y.Anchor != "":
		return "the anchor &" + y.Anchor, "take the anchor out and write the value where it is used"
	case y.Tag == "!!merge":
		return "the merge key <<", "write the keys out"
	case y.Style&yaml.TaggedStyle != 0:
		return "the tag " + y.Tag, "take the tag out; quotes make a text"
	}
	return "", ""
}

func (r *reader) fields(n *Node, y *yaml.Node, depth int) {
	n.Kind = Map
	for i := 0; i+1 < len(y.Content); i += 2 {
		key := r.key(y.Content[i], depth+1)
		value := r.node(y.Content[i+1], depth+1)
		switch first := n.Key(key.Text); {
		case y.Content[i].Kind != yaml.ScalarNode:
			if !key.bad {
				r.report(y.Content[i], "wrong-key", key.Describe()+" as a key", "a name as a key", "")
			}
			continue
		case first != nil:
			r.report(y.Content[i], "repeated-key", fmt.Sprintf("the key %q again (first in line %d)", shorten(key.Text), first.Line), "each key once", "keep one of the two")
			continue
		}
		value.key = key
		n.add(Field{key, value})
	}
}

// key reads a key: a scalar is taken as it is written, be it a number or not.
func (r *reader) key(y *yaml.Node, depth int) *Node {
	if y.Kind != yaml.ScalarNode || y.Tag == "!!merge" || y.Style&yaml.TaggedStyle != 0 || y.Anchor != "" {
		return r.node(y, depth)
	}
	return &Node{Kind: Text, Text: y.Value, Line: y.Line, Column: y.Column, doc: r.doc, style: styleOf(y)}
}

// scalar reads a scalar. Only decimal numbers count as numbers: 010 or 0x1F
// or 1_000 mean different things to different readers.
func (r *reader) scalar(n *Node, y *yaml.Node) {
	n.Kind, n.Text = Text, y.Value
	switch y.Tag {
	case "!!null":
		n.Kind = Null
	case "!!bool":
		n.Kind, n.Bool = Bool, strings.EqualFold(y.Value, "true")
	case "!!int", "!!float":
		n.Kind = Number
		r.number(n, y)
	case "!!str":
		if n.style == plain && looksHuge(y.Value) {
			n.Kind = Number
			r.number(n, y)
		}
	}
}

func (r *reader) number(n *Node, y *yaml.Node) {
	if !decimal.MatchString(y.Value) {
		code, found, hint := "odd-number", "the number "+shorten(y.Value), "write it as 8, -0.5 or 1e-3"
		if v, err := strconv.ParseFloat(strings.TrimLeft(y.Value, "+-."), 64); err == nil && (math.IsInf(v, 0) || math.IsNaN(v)) {
			code, hint = "not-finite", ""
		}
		r.report(y, code, found, "a finite decimal number", hint)
		n.bad = true
		return
	}
	v, err := strconv.ParseFloat(y.Value, 64)
	if err != nil || math.IsInf(v, 0) {
		r.report(y, "not-finite", "the number "+shorten(y.Value), "a finite decimal number", "")
		n.bad = true
		return
	}
	n.Number = v + 0 // -0 becomes 0
}

func styleOf(y *yaml.Node) style {
	switch {
	case y.Style&yaml.SingleQuotedStyle != 0:
		return singleQuoted
	case y.Style&yaml.DoubleQuotedStyle != 0:
		return doubleQuoted
	case y.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		return block
	}
	return plain
}
