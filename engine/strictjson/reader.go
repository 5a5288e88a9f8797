// Package strictjson reads JSON documents strictly and reports every slip at
// its JSON Pointer: unknown and repeated keys, wrong types, values that are no
// finite numbers. It goes on after a slip, so that all are told at once.
package strictjson

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"rootcue/engine/place"
)

// MostProblems bounds how many slips of one document are told; one more says
// how many are left out.
const MostProblems = 50

// CodeSyntax is the code of a document that is not JSON at all. Nothing after
// it was read.
const CodeSyntax = "not-json"

// A Reader walks one JSON document. Its methods read the next value; after a
// syntax error they read nothing and return zero values.
type Reader struct {
	dec      *jsontext.Decoder
	problems []place.Problem
	most     int // of them
	more     int // slips beyond that
	ofItem   int // most of one item; 0 outside of any
	upTo     int // problems that there may be at its end
	broken   bool
}

// Read walks data, one JSON value and nothing behind it, with root, and
// returns the slips found in the order of the document.
func Read(data []byte, root func(*Reader)) []place.Problem {
	return ReadMost(MostProblems, data, root)
}

// ReadMost is Read with so many slips told: for a list whose items are answered
// one by one, each with its own.
func ReadMost(most int, data []byte, root func(*Reader)) []place.Problem {
	r := &Reader{most: most, dec: jsontext.NewDecoder(bytes.NewBuffer(data), jsontext.AllowDuplicateNames(true))}
	root(r)
	if !r.broken {
		if _, err := r.dec.ReadToken(); err == nil {
			r.broken = true
			r.add(place.Problem{Code: CodeSyntax, Pointer: "", Found: "a second JSON value behind the first", Wanted: "one JSON document"})
		} else if !errors.Is(err, io.EOF) {
			r.syntax(err)
		}
	}
	if r.more > 0 {
		r.problems = append(r.problems, place.Problem{Code: "more", Found: fmt.Sprintf("%d more problems", r.more), Wanted: fmt.Sprintf("at most %d at a time", r.most), Hint: "mend the ones above, then send it again"})
	}
	return r.problems
}

// Broken reports whether a syntax error ended the reading.
func (r *Reader) Broken() bool { return r.broken }

// Pointer is the JSON Pointer of the value read last.
func (r *Reader) Pointer() string { return string(r.dec.StackPointer()) }

// Problem reports a slip at the value read last.
func (r *Reader) Problem(code, found, wanted, hint string) {
	r.add(place.Problem{Code: code, Pointer: r.Pointer(), Found: found, Wanted: wanted, Hint: hint})
}

// Report adds a slip whose place the caller has set.
func (r *Reader) Report(p place.Problem) { r.add(p) }

// Item begins an item of a list that is answered one by one: so many of its
// slips are told, and that there are more. With 0 the last one has ended.
func (r *Reader) Item(most int) {
	r.ofItem, r.upTo = most, len(r.problems)+most
}

func (r *Reader) add(p place.Problem) {
	p.Pointer = shorten(p.Pointer)
	switch n := len(r.problems); {
	case n == r.most:
		r.more++
	case r.ofItem == 0 || n < r.upTo:
		r.problems = append(r.problems, p)
	case n == r.upTo:
		r.problems = append(r.problems, place.Problem{Code: "more", Pointer: p.Pointer, Found: "more problems", Wanted: fmt.Sprintf("at most %d at a time", r.ofItem), Hint: "mend the ones above, then send it again"})
	}
}

// longestPointer bounds what is told of a place, in bytes: nesting or a key
// without end would make the answer as long as the document.
const longestPointer = 300

// shorten cuts a pointer after a whole key, or in the middle of a long one.
func shorten(pointer string) string {
	if len(pointer) <= longestPointer {
		return pointer
	}
	cut := strings.ToValidUTF8(pointer[:longestPointer], "")
	if slash := strings.LastIndexByte(cut, '/'); slash > 0 {
		cut = cut[:slash]
	}
	return cut + "/…"
}

func (r *Reader) syntax(err error) {
	if r.broken {
		return
	}
	r.broken = true
	p := place.Problem{Code: CodeSyntax, Pointer: r.Pointer(), Found: err.Error(), Wanted: "one JSON document in UTF-8"}
	var s *jsontext.SyntacticError
	switch {
	case errors.As(err, &s):
		p.Pointer, p.Found = cmp.Or(string(s.JSONPointer), p.Pointer), fmt.Sprintf("%v after byte %d", s.Err, s.ByteOffset)
		if errors.Is(err, io.ErrUnexpectedEOF) {
			p.Found = fmt.Sprintf("the end of the input after byte %d", s.ByteOffset)
		}
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		p.Found = "the end of the input"
	}
	r.Item(0) // told whatever was before
	r.add(p)
}

// kind peeks at the next value's kind, 0 when broken.
func (r *Reader) kind() jsontext.Kind {
	if r.broken {
		return 0
	}
	return r.dec.PeekKind()
}

func (r *Reader) token() (jsontext.Token, bool) {
	if r.broken {
		return jsontext.Token{}, false
	}
	t, err := r.dec.ReadToken()
	if err != nil {
		r.syntax(err)
		return jsontext.Token{}, false
	}
	return t, true
}

// Null reads a null if one comes next.
func (r *Reader) Null() bool {
	if r.kind() != 'n' {
		return false
	}
	r.token()
	return true
}

// IsObject, IsArray and IsNumber tell what comes next without reading it.
func (r *Reader) IsObject() bool { return r.kind() == '{' }

// IsArray tells whether an array comes next.
func (r *Reader) IsArray() bool { return r.kind() == '[' }

// IsNumber tells whether a number comes next.
func (r *Reader) IsNumber() bool { return r.kind() == '0' }

// IsBool tells whether true or false comes next.
func (r *Reader) IsBool() bool { return r.kind() == 't' || r.kind() == 'f' }

// Skip passes over the next value.
func (r *Reader) Skip() {
	if !r.broken {
		if err := r.dec.SkipValue(); err != nil {
			r.syntax(err)
		}
	}
}

// Raw returns the bytes of the next value, copied.
func (r *Reader) Raw() []byte {
	if r.broken {
		return nil
	}
	v, err := r.dec.ReadValue()
	if err != nil {
		r.syntax(err)
		return nil
	}
	return bytes.Clone(v)
}

// Object reads an object and calls field for each key, which must read or skip
// the value. A repeated key is reported and passed over.
func (r *Reader) Object(field func(key string)) {
	if !r.open('{', "an object") {
		return
	}
	seen := seenKeys{}
	for r.kind() != '}' && !r.broken {
		t, ok := r.token()
		if !ok {
			return
		}
		key := t.String()
		if seen.add(key) {
			r.Problem("repeated-key", "the key "+quoteKind('"', key)+" twice", "each key once", "delete one of the two")
			r.Skip()
			continue
		}
		field(key)
	}
	r.token()
}

// Unknown reports the key just met as none of known, and skips its value.
func (r *Reader) Unknown(key string, known []string) {
	hint := ""
	if near := place.Nearest(key, known); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	r.Problem("unknown-key", "the key "+quoteKind('"', key), "one of "+place.List(known), hint)
	r.Skip()
}

// Array reads an array and calls elem for each element, which must read or
// skip it.
func (r *Reader) Array(elem func(i int)) {
	if !r.open('[', "a list") {
		return
	}
	for i := 0; r.kind() != ']' && !r.broken; i++ {
		elem(i)
	}
	r.token()
}

func (r *Reader) open(k jsontext.Kind, wanted string) bool {
	if r.kind() != k {
		r.wrongType(wanted)
		return false
	}
	_, ok := r.token()
	return ok
}

// wrongType reports and skips the next value.
func (r *Reader) wrongType(wanted string) {
	if r.broken {
		return
	}
	found := names[r.kind()]
	if k := r.kind(); k == '"' || k == '0' || k == 't' || k == 'f' {
		if t, ok := r.token(); ok {
			r.Problem("wrong-type", found+" "+quoteKind(k, t.String()), wanted, "")
		}
		return
	}
	r.Skip()
	if !r.broken {
		r.Problem("wrong-type", found, wanted, "")
	}
}

var names = map[jsontext.Kind]string{'n': "null", 't': "the yes-no value", 'f': "the yes-no value", '"': "the text", '0': "the number", '{': "an object", '[': "a list"}

func quoteKind(k jsontext.Kind, s string) string {
	if len(s) > 40 {
		s = strings.ToValidUTF8(s[:40], "") + "…"
	}
	if k == '"' {
		return strconv.QuoteToGraphic(s)
	}
	return s
}

// Float reads a finite number; ok is false, and a slip reported, for anything
// else. wanted says what should stand there.
func (r *Reader) Float(wanted string) (v float64, ok bool) {
	if r.kind() != '0' {
		r.wrongType(wanted)
		return 0, false
	}
	t, ok := r.token()
	if !ok {
		return 0, false
	}
	v, err := t.Float()
	if err != nil || math.IsInf(v, 0) {
		r.Problem("not-finite", "the number "+quoteKind('0', t.String()), wanted, "the number is too large")
		return 0, false
	}
	return v, true
}

// Int reads a whole number.
func (r *Reader) Int(wanted string) (int, bool) {
	v, ok := r.Float(wanted)
	if !ok {
		return 0, false
	}
	if v != math.Trunc(v) || math.Abs(v) > 1e9 {
		r.Problem("wrong-type", "the number "+strconv.FormatFloat(v, 'g', -1, 64), wanted, "")
		return 0, false
	}
	return int(v), true
}

// Text reads a string.
func (r *Reader) Text(wanted string) (string, bool) {
	if r.kind() != '"' {
		r.wrongType(wanted)
		return "", false
	}
	t, ok := r.token()
	if !ok {
		return "", false
	}
	return t.String(), true
}

// Bool reads true or false.
func (r *Reader) Bool(wanted string) (bool, bool) {
	if !r.IsBool() {
		r.wrongType(wanted)
		return false, false
	}
	t, ok := r.token()
	return ok && t.Bool(), ok
}

// seenKeys finds repeated keys: a short list first, a set once that grows.
type seenKeys struct {
	few  []string
	many map[string]bool
}

func (s *seenKeys) add(key string) (repeated bool) {
	if s.many != nil {
		repeated = s.many[key]
		s.many[key] = true
		return repeated
	}
	for _, k := range s.few {
		if k == key {
			return true
		}
	}
	if s.few = append(s.few, key); len(s.few) > 48 {
		s.many = make(map[string]bool, 2*len(s.few))
		for _, k := range s.few {
			s.many[k] = true
		}
	}
	return false
}
