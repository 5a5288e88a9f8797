package club

import (
	"bytes"
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"rootcue/engine/observation"
	"rootcue/engine/place"
)

// mostReps bounds the rows that make one observation.
const mostReps = observation.MostReps

// A table is a CSV file as a source: one row a rep. Rows that follow each other
// and name the same player, day, session and rater are one observation. A row
// is one line: what a cell of several lines breaks is told, and the rows after
// it are read all the same.
type table struct {
	rubric  string // of rows that name none
	lines   *lines
	split   splitter
	columns []column
	ahead   *row // read already, of the next observation
	end     error
}

// CSV reads a table whose columns are those of a template. rubric is that of
// rows which name none. Commas, semicolons and tabs separate; a decimal comma is
// understood. A header that cannot be used is a Refusal.
func CSV(r io.Reader, rubric string) (Source, error) {
	t := &table{rubric: rubric, lines: newLines(r)}
	text, slip, err := t.lines.next()
	if err == io.EOF {
		return nil, refuse("empty", "", "an empty file", "a header line such as player,age,on,rep,exchange_time [s]", "")
	}
	if err != nil {
		return nil, err
	}
	if slip == nil {
		slip = t.header(bytes.TrimPrefix(text, []byte("\ufeff")))
	}
	if slip != nil {
		return nil, &Refusal{[]place.Problem{*slip}}
	}
	return t, nil
}

// A row is one line of a table, read.
type row struct {
	line  int
	cells []cell
	head  string // what rows of one observation share, as JSON
	rep   map[string]any
	n     int // number of the rep, 0 unstated
	slips []place.Problem
}

// Next gives the next observation, or a bad row that stands before any.
func (t *table) Next() (Entry, error) {
	first := t.row()
	if first == nil {
		return Entry{}, t.end
	}
	var rows []*row
	e := Entry{}
	for r := first; ; r = t.row() {
		switch {
		case r == nil:
		case len(r.slips) > 0:
			e.Rows = append(e.Rows, Line{Line: r.line, Status: Refused, Slips: r.slips})
			if len(rows) > 0 || len(e.Rows) < mostReps {
				continue
			}
		case len(rows) == 0 || r.joins(rows):
			rows = append(rows, r)
			continue
		default:
			t.ahead = r
		}
		break
	}
	return t.entry(e, rows), nil
}

// joins reports whether a row is another rep of an observation.
func (r *row) joins(rows []*row) bool {
	return r.head == rows[0].head && len(rows) < mostReps && (r.n == 0) == (rows[0].n == 0) &&
		(r.n == 0 || !slices.ContainsFunc(rows, func(o *row) bool { return o.n == r.n }))
}

// entry makes a document of rows.
func (t *table) entry(e Entry, rows []*row) Entry {
	if len(rows) == 0 {
		return e
	}
	var doc map[string]any
	_ = json.Unmarshal([]byte(rows[0].head), &doc) // it was written by head
	reps := make([]map[string]any, len(rows))
	for i, r := range rows {
		if r.rep["rep"] = r.n; r.n == 0 {
			r.rep["rep"] = i + 1
		}
		reps[i] = r.rep
		e.Lines = append(e.Lines, r.line)
	}
	doc["reps"] = reps
	e.Doc, _ = json.Marshal(doc) // plain values of our own
	e.Cell = func(rep int, slip place.Problem) place.Problem { return t.locate(rows[rep], slip) }
	return e
}

// locate gives a slip of a rep the line and column of its cell.
func (t *table) locate(r *row, slip place.Problem) place.Problem {
	name, _, _ := strings.Cut(strings.TrimPrefix(strings.TrimPrefix(dropRep(slip.Pointer), "/measures"), "/conditions"), "/unit")
	slip.Line, slip.Column = r.line, 1
	for i, c := range t.columns {
		if "/"+c.name == name && i < len(r.cells) {
			slip.Column = r.cells[i].at
		}
	}
	slip.Pointer = ""
	return slip
}

// dropRep is a pointer without its /reps/N.
func dropRep(pointer string) string {
	if _, ok := repOf(pointer); !ok {
		return pointer
	}
	parts := strings.SplitN(pointer, "/", 4)
	if len(parts) < 4 {
		return ""
	}
	return "/" + parts[3]
}

// row reads the next row that is not blank; nil at the end.
func (t *table) row() *row {
	if r := t.ahead; r != nil {
		t.ahead = nil
		return r
	}
	for t.end == nil {
		text, slip, err := t.lines.next()
		if err != nil {
			t.end = err
			return nil
		}
		if slip != nil {
			return &row{line: t.lines.n, slips: []place.Problem{*slip}}
		}
		if len(bytes.Trim(text, " \t,;\"")) > 0 {
			return t.read(text)
		}
	}
	return nil
}

// read reads one row; its slips all at once.
func (t *table) read(text []byte) *row {
	r := &row{line: t.lines.n, rep: map[string]any{}}
	report := func(at int, code, found, wanted, hint string) {
		r.slips = append(r.slips, place.Problem{Code: code, Line: r.line, Column: at, Found: found, Wanted: wanted, Hint: hint})
	}
	if !utf8.Valid(text) {
		report(1, "not-utf8", "bytes that are not UTF-8", "text in UTF-8", "save the file as CSV UTF-8")
		return r
	}
	cells, open := t.split.cells(string(text))
	if r.cells = cells; open > 0 {
		report(open, "quote-open", "a quote that is not closed on its line", "a closing quote", "a cell is one line")
		return r
	}
	if len(cells) > len(t.columns) {
		report(cells[len(t.columns)].at, "too-many-cells", fmt.Sprintf("%d cells", len(cells)), fmt.Sprintf("%d, as in the header", len(t.columns)), "a decimal comma needs quotes, or semicolons between the cells")
		return r
	}
	head := map[string]any{"player": map[string]any{}}
	for i, c := range cells {
		if c.text == "" {
			continue
		}
		if code, found, wanted, hint := t.columns[i].take(c.text, head, r); code != "" {
			report(c.at, code, found, wanted, hint)
		}
	}
	if head["rubric"] == nil && t.rubric != "" {
		head["rubric"] = t.rubric
	}
	b, _ := json.Marshal(head, json.Deterministic(true)) // plain values of our own
	r.head = string(b)
	return r
}

// into sets a value in a map below m.
func into(m map[string]any, below, name string, v any) {
	inner, ok := m[below].(map[string]any)
	if !ok {
		inner = map[string]any{}
		m[below] = inner
	}
	inner[name] = v
}

// A cell is the text of a cell, without blanks and quotes around it, and the
// column of the line it starts in, in characters from 1.
type cell struct {
	text string
	at   int
}

// A splitter is the character between cells.
type splitter rune

// splitterOf finds what separates a header: the most frequent candidate.
func splitterOf(header string) splitter {
	best := ','
	for _, c := range ";\t" {
		if strings.Count(header, string(c)) > strings.Count(header, string(best)) {
			best = c
		}
	}
	return splitter(best)
}

// cells splits a line (RFC 4180); open is the column of a quote that is not
// closed, 0 for none.
func (s splitter) cells(line string) (list []cell, open int) {
	text, at, quotedAt := strings.Builder{}, 1, 0
	column, quoted := 0, false
	runes := []rune(line)
	flush := func() {
		list = append(list, cell{strings.TrimSpace(text.String()), at})
		text.Reset()
		at = column + 1
	}
	for i := 0; i < len(runes); i++ {
		c := runes[i]
		column = i + 1
		switch {
		case quoted && c == '"' && i+1 < len(runes) && runes[i+1] == '"':
			text.WriteRune(c)
			i++
		case quoted && c == '"':
			quoted = false
		case c == '"' && strings.TrimSpace(text.String()) == "":
			quoted, quotedAt = true, column
		case !quoted && c == rune(s):
			flush()
		default:
			text.WriteRune(c)
		}
	}
	column = len(runes)
	flush()
	if quoted {
		open = quotedAt
	}
	return list, open
}

// numberOf reads a number with a decimal point or comma.
func numberOf(text string) (jsontext.Value, bool) {
	plain := text
	if strings.Count(text, ",") == 1 && !strings.Contains(text, ".") {
		plain = strings.Replace(text, ",", ".", 1)
	}
	if strings.Trim(plain, "0123456789+-.eE") != "" { // no hexadecimal, no Inf, no underscores
		return nil, false
	}
	v, err := strconv.ParseFloat(plain, 64)
	if err != nil {
		return nil, false
	}
	return jsontext.Value(strconv.FormatFloat(v, 'g', -1, 64)), true
}

var yesNo = map[string]bool{"yes": true, "true": true, "y": true, "no": false, "false": false, "n": false}

// words lists the words for yes and no.
func words() []string { return slices.Sorted(maps.Keys(yesNo)) }
