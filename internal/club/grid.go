package club

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"rootcue/engine/place"
)

// A grid is a small CSV table with named columns, read whole. Commas, semicolons
// and tabs separate; a byte-order mark is passed over.
type grid struct{ rows []gridRow }

// A gridRow is one line that is not blank.
type gridRow struct {
	line  int
	cells map[string]cell // by column; a cell left empty is not in it
	slips []place.Problem // why it cannot be used
}

// readGrid reads a table whose header has all columns needed and none but those
// and the others that may be. A header that cannot be used is a Refusal.
func readGrid(body []byte, need, may []string) (g grid, err error) {
	lines := newLines(bytes.NewReader(bytes.TrimPrefix(body, []byte("\ufeff"))))
	text, slip, _ := lines.next() // reading bytes at hand cannot fail; nothing there is no header
	if slip != nil {
		return g, &Refusal{[]place.Problem{*slip}}
	}
	split := splitterOf(string(text))
	columns, err := gridHeader(split, string(text), need, may)
	if err != nil {
		return g, err
	}
	for {
		text, slip, err := lines.next()
		switch {
		case err != nil: // the end
			return g, nil
		case len(g.rows) == mostLines:
			return g, tooManyLines()
		case slip != nil:
			g.rows = append(g.rows, gridRow{line: lines.n, slips: []place.Problem{*slip}})
		case len(bytes.Trim(text, " \t,;\"")) > 0:
			g.rows = append(g.rows, readGridRow(split, columns, string(text), lines.n))
		}
	}
}

func gridHeader(split splitter, text string, need, may []string) ([]string, error) {
	var found slips
	known := slices.Concat(need, may)
	cells, _ := split.cells(text)
	var columns []string
	for _, c := range cells {
		name := strings.ToLower(c.text)
		slip := place.Problem{Code: "unknown-column", Line: 1, Column: c.at, Found: "the column " + strconv.Quote(c.text), Wanted: place.List(known), Hint: didYouMean(name, known)}
		if slices.Contains(columns, name) {
			slip.Found, slip.Wanted = slip.Found+" twice", "each column once"
		}
		if !slices.Contains(known, name) || slices.Contains(columns, name) {
			found = append(found, slip)
		}
		columns = append(columns, name)
	}
	for _, name := range need {
		if !slices.Contains(columns, name) {
			found = append(found, place.Problem{Code: "missing-column", Line: 1, Column: 1, Found: "no column " + name, Wanted: "a header line with " + strings.Join(need, ", ")})
		}
	}
	if len(found) > 0 {
		return nil, &Refusal{found}
	}
	return columns, nil
}

func readGridRow(split splitter, columns []string, text string, line int) gridRow {
	r := gridRow{line: line, cells: map[string]cell{}}
	refuse := func(code string, at int, found, wanted, hint string) {
		r.slips = []place.Problem{{Code: code, Line: line, Column: at, Found: found, Wanted: wanted, Hint: hint}}
	}
	if !utf8.ValidString(text) {
		refuse("not-utf8", 1, "bytes that are not UTF-8", "text in UTF-8", "save the file as CSV UTF-8")
		return r
	}
	cells, open := split.cells(text)
	switch {
	case open > 0:
		refuse("quote-open", open, "a quote that is not closed on its line", "a closing quote", "a cell is one line")
	case len(cells) > len(columns):
		refuse("too-many-cells", cells[len(columns)].at, fmt.Sprintf("%d cells", len(cells)), fmt.Sprintf("%d, as in the header", len(columns)), "a decimal comma needs quotes, or semicolons between the cells")
	}
	if r.slips != nil {
		return r
	}
	for i, c := range cells {
		if c.text != "" {
			r.cells[columns[i]] = c
		}
	}
	return r
}

// at puts a slip at the cell of a column, or at the line's start.
func (r *gridRow) at(column string, slip place.Problem) place.Problem {
	slip.Line, slip.Column, slip.Pointer = r.line, max(r.cells[column].at, 1), ""
	return slip
}
