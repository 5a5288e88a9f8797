package shape

import (
	"bytes"
	"unicode/utf8"
)

// At gives the line and column in the file of a byte of a scalar's text. Plain,
// quoted and block scalars are followed through folded lines and escapes.
func (n *Node) At(offset int) (line, column int) {
	return n.doc.lines.Position(n.sourceOffset(offset))
}

// sourceOffset walks the scalar as written and as decoded side by side until
// the decoded side reaches offset.
func (n *Node) sourceOffset(offset int) int {
	src, text := n.doc.src, n.Text
	at, i := n.doc.lines.Offset(n.Line, n.Column), 0
	switch n.style {
	case singleQuoted, doubleQuoted:
		at++
	case block:
		at, i = pastHeader(src, at), blanks([]byte(text))
	}
	for i < min(offset, len(text)) && at < len(src) {
		switch {
		case foldedAt(src, at):
			// A line break with its indentation stands for a blank or breaks.
			at += blanks(src[at:])
			i += max(blanks([]byte(text[i:])), 0)
		case n.style == doubleQuoted && src[at] == '\\':
			written, folded := escape(src[at:])
			at += written
			if !folded {
				i += runeLen(text[i:])
			}
		case n.style == singleQuoted && src[at] == '\'':
			at, i = at+2, i+1
		default:
			at, i = at+1, i+1
		}
	}
	if at+1 < len(src) && n.style == doubleQuoted && src[at] == '\\' {
		if written, folded := escape(src[at:]); folded {
			at += written
		}
	}
	return min(at, len(src))
}

// pastHeader skips the header line of a block scalar and the indentation of
// its first line.
func pastHeader(src []byte, at int) int {
	for at < len(src) && src[at] != '\n' {
		at++
	}
	return at + blanks(src[min(at, len(src)):])
}

// foldedAt reports whether a run of blanks that holds a line break starts here.
func foldedAt(src []byte, at int) bool {
	for ; at < len(src); at++ {
		switch src[at] {
		case '\n', '\r':
			return true
		case ' ', '\t':
		default:
			return false
		}
	}
	return false
}

// blanks is the length of the run of blanks and line breaks s starts with.
func blanks(s []byte) int {
	for i, c := range s {
		if c != ' ' && c != '\t' && c != '\n' && c != '\r' {
			return i
		}
	}
	return len(s)
}

// escape is the written length of an escape in double quotes; folded where it
// stands for nothing (a backslash at the end of a line).
func escape(s []byte) (written int, folded bool) {
	if len(s) < 2 {
		return 1, false
	}
	switch s[1] {
	case 'x':
		return min(4, len(s)), false
	case 'u':
		return min(6, len(s)), false
	case 'U':
		return min(10, len(s)), false
	case '\n', '\r':
		return 1 + blanks(s[1:]), true
	}
	return 2, false
}

func runeLen(s string) int {
	_, n := utf8.DecodeRuneInString(s)
	return max(n, 1)
}

// Span gives the bytes of the file that a number or a word without quotes
// takes up; ok is false for values written otherwise.
func (n *Node) Span() (from, to int, ok bool) {
	if n == nil || n.style != plain || n.Text == "" || n.Kind == List || n.Kind == Map {
		return 0, 0, false
	}
	from = n.doc.lines.Offset(n.Line, n.Column)
	to = from + len(n.Text)
	return from, to, to <= len(n.doc.src) && string(n.doc.src[from:to]) == n.Text
}

// ListSpan gives the bytes of a list of plain items written in brackets, from
// [ to ], with no comment inside; ok is false for lists written otherwise.
func (n *Node) ListSpan() (from, to int, ok bool) {
	if n == nil || n.Kind != List || len(n.items) == 0 {
		return 0, 0, false
	}
	from = n.doc.lines.Offset(n.Line, n.Column)
	_, to, ok = n.items[len(n.items)-1].Span()
	if !ok || n.doc.src[from] != '[' {
		return 0, 0, false
	}
	to += blanks(n.doc.src[to:])
	ok = to < len(n.doc.src) && n.doc.src[to] == ']' && !bytes.ContainsRune(n.doc.src[from:to], '#')
	return from, to + 1, ok
}
