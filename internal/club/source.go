package club

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"

	"github.com/go-json-experiment/json/jsontext"

	"rootcue/engine/place"
)

// MaxDocument bounds one document, in bytes.
const MaxDocument = 1 << 20

// mostLines bounds the lines of a body that is read and answered as a whole: a
// megabyte of nothing but ones and commas would else be answered by hundreds.
const mostLines = 50_000

// mostOfLine bounds what is told of one line that has a handful of keys.
const mostOfLine = 10

func tooManyLines() error {
	return refuse("too-many-lines", "", fmt.Sprintf("more than %d lines", mostLines), fmt.Sprintf("at most %d in one body", mostLines), "send it in parts")
}

// JSON takes a body apart that holds one document or a list of them; the lines
// are their numbers, from 1. What is no JSON is a Refusal.
func JSON(body []byte) (src Source, many bool, err error) {
	value := jsontext.Value(bytes.TrimSpace(body))
	if value.Kind() != '[' {
		return &list{entries: []Entry{{Lines: []int{1}, Doc: value}}}, false, nil
	}
	l := &list{}
	d := jsontext.NewDecoder(bytes.NewReader(value), jsontext.AllowDuplicateNames(true))
	_, err = d.ReadToken() // the bracket
	for err == nil && d.PeekKind() != ']' {
		var v jsontext.Value
		if v, err = d.ReadValue(); err == nil {
			l.entries = append(l.entries, Entry{Lines: []int{len(l.entries) + 1}, Doc: v.Clone()})
		}
		if len(l.entries) > mostLines {
			return nil, true, tooManyLines()
		}
	}
	if err == nil {
		_, err = d.ReadToken()
	}
	if err == nil {
		if _, err = d.ReadToken(); err == nil {
			err = errors.New("a second JSON value behind the first")
		}
	}
	if !errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return nil, true, refuse("not-json", "", err.Error(), "one JSON document in UTF-8", "")
	}
	return l, true, nil
}

// A list is a source of entries at hand.
type list struct{ entries []Entry }

// Next gives the next entry.
func (l *list) Next() (Entry, error) {
	if len(l.entries) == 0 {
		return Entry{}, io.EOF
	}
	e := l.entries[0]
	l.entries = l.entries[1:]
	return e, nil
}

// NDJSON reads one document a line. Blank lines are passed over.
func NDJSON(r io.Reader) Source { return &ndjson{newLines(r)} }

type ndjson struct{ lines *lines }

// Next gives the next line.
func (n *ndjson) Next() (Entry, error) {
	for {
		text, slip, err := n.lines.next()
		switch {
		case err != nil:
			return Entry{}, err
		case slip != nil:
			return Entry{Lines: []int{n.lines.n}, Slips: []place.Problem{*slip}}, nil
		case len(bytes.TrimSpace(text)) > 0:
			return Entry{Lines: []int{n.lines.n}, Doc: bytes.Clone(text)}, nil
		}
	}
}

// lines reads lines of bounded length.
type lines struct {
	r *bufio.Reader
	n int // of the line read last, from 1
	b []byte
}

func newLines(r io.Reader) *lines { return &lines{r: bufio.NewReaderSize(r, 64<<10)} }

// next gives a line without its end, valid until the next call. One that is
// too long is passed over and told as a slip.
func (l *lines) next() ([]byte, *place.Problem, error) {
	l.b = l.b[:0]
	size := 0
	for {
		part, err := l.r.ReadSlice('\n')
		size += len(part)
		if size <= MaxDocument {
			l.b = append(l.b, part...)
		}
		if errors.Is(err, bufio.ErrBufferFull) {
			continue
		}
		if err != nil && !errors.Is(err, io.EOF) || size == 0 {
			return nil, nil, err
		}
		break
	}
	l.n++
	if size > MaxDocument {
		return nil, &place.Problem{Code: "too-long", Line: l.n, Column: 1, Found: fmt.Sprintf("a line of %d bytes", size), Wanted: fmt.Sprintf("at most %d bytes (1 MiB)", MaxDocument)}, nil
	}
	return bytes.TrimRight(l.b, "\r\n"), nil, nil
}
