package place

import (
	"sort"
	"unicode/utf8"
)

// Lines finds places in a text: byte offsets to lines and columns and back.
// Lines and columns count from 1, columns in characters.
type Lines struct {
	src    []byte
	starts []int // byte offset of each line's first byte
}

// NewLines indexes a text. A line ends where YAML ends one: at LF, CR, CR LF,
// NEL, LS or PS. A byte order mark at the start has no column of its own.
func NewLines(src []byte) *Lines {
	l := &Lines{src: src, starts: []int{0}}
	if len(src) >= 3 && string(src[:3]) == "\ufeff" {
		l.starts[0] = 3
	}
	for i := 0; i < len(src); {
		n := breakLen(src[i:])
		if n == 0 {
			i++
			continue
		}
		i += n
		l.starts = append(l.starts, i)
	}
	return l
}

// breakLen is the length of the line break that s starts with, 0 without one.
func breakLen(s []byte) int {
	switch {
	case s[0] == '\n':
		return 1
	case s[0] == '\r':
		if len(s) > 1 && s[1] == '\n' {
			return 2
		}
		return 1
	case len(s) >= 2 && s[0] == 0xC2 && s[1] == 0x85:
		return 2
	case len(s) >= 3 && s[0] == 0xE2 && s[1] == 0x80 && (s[2] == 0xA8 || s[2] == 0xA9):
		return 3
	}
	return 0
}

// Offset gives the byte offset of a place; places outside the text give the
// nearest offset inside.
func (l *Lines) Offset(line, column int) int {
	if line < 1 {
		return l.starts[0]
	}
	if line > len(l.starts) {
		return len(l.src)
	}
	at := l.starts[line-1]
	for ; column > 1 && at < len(l.src) && breakLen(l.src[at:]) == 0; column-- {
		_, n := utf8.DecodeRune(l.src[at:])
		at += n
	}
	return at
}

// Position gives the line and column of a byte offset.
func (l *Lines) Position(offset int) (line, column int) {
	offset = max(min(offset, len(l.src)), l.starts[0])
	line = sort.Search(len(l.starts), func(i int) bool { return l.starts[i] > offset })
	return line, utf8.RuneCount(l.src[l.starts[line-1]:offset]) + 1
}

// Line gives a line's text without its break, "" outside the text.
func (l *Lines) Line(line int) string {
	if line < 1 || line > len(l.starts) {
		return ""
	}
	from := l.starts[line-1]
	to := from
	for to < len(l.src) && breakLen(l.src[to:]) == 0 {
		to++
	}
	return string(l.src[from:to])
}
