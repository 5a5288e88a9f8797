package workload

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"rootcue/engine/civil"
	"rootcue/engine/place"
)

// ReadCSV reads a ledger of the Columns, with a header, separated by commas,
// semicolons or tabs. It is read as of the day on: later dates are slips. Every
// slip is reported by line and column, and all good lines are kept.
func ReadCSV(file string, data []byte, on civil.Date) (Ledger, []place.Problem) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if !utf8.Valid(data) {
		data = bytes.ToValidUTF8(data, []byte("\ufffd")) // names of teams and notes only
	}
	r := &rowReader{on: on, games: map[game]int{}}
	t := &table{file: file, data: data, comma: separator(data), rows: r}
	r.ledger.Entries = make([]Entry, 0, min(bytes.Count(data, []byte("\n")), MostEntries))
	t.restart()
	if t.header() {
		for n := 0; t.next(); n++ {
			if n == MostEntries {
				code, found, wanted, hint := tooMany()
				t.slip(1, 1, code, found, wanted, hint) // of the file, not of a line
				break
			}
		}
	}
	return r.ledger, r.problems
}

// separator is what the header is separated by.
func separator(data []byte) rune {
	header, _, _ := bytes.Cut(data, []byte("\n"))
	for _, c := range ";\t" {
		if bytes.ContainsRune(header, c) && !bytes.Contains(header, []byte(",")) {
			return c
		}
	}
	return ','
}

// A table is a CSV file being read.
type table struct {
	file  string
	data  []byte // not yet given to the reader's records
	base  int    // lines before data
	comma rune
	in    *csv.Reader
	rows  *rowReader
	width int
	order []int // for each of Columns its field, -1 where the file lacks it

	start  int64    // of the line being read, in data
	fields []string // of it
	line   int
	column func(field int) int // where a field of it starts
}

// restart reads on from the start of data.
func (t *table) restart() {
	t.in = csv.NewReader(bytes.NewReader(t.data))
	t.in.FieldsPerRecord = -1
	t.in.TrimLeadingSpace = true
	t.in.ReuseRecord = true
	t.in.Comma = t.comma
}

func (t *table) slip(line, column int, code, found, wanted, hint string) {
	t.rows.problems = append(t.rows.problems, place.Problem{Code: code, File: t.file, Line: line, Column: column, Found: found, Wanted: wanted, Hint: hint})
}

// header reads the first line; false when no row can be understood without it.
func (t *table) header() bool {
	names, err := t.in.Read()
	if err != nil {
		t.slip(1, 1, "empty", "no header", "a first line with the columns "+strings.Join(Columns, ","), "")
		return false
	}
	t.width = len(names)
	t.order = make([]int, len(Columns))
	for i := range t.order {
		t.order[i] = -1
	}
	for i, name := range names {
		t.heading(i, strings.ToLower(strings.TrimSpace(name)))
	}
	for c := dateColumn; c <= countColumn; c++ {
		if t.order[c] < 0 {
			t.slip(1, 1, "missing-column", "no column "+Columns[c], "the columns "+strings.Join(Columns[:6], ","), "")
		}
	}
	return t.order[dateColumn] >= 0 && t.order[kindColumn] >= 0
}

func (t *table) heading(i int, name string) {
	line, column := t.in.FieldPos(i)
	for c, known := range Columns {
		if name != known {
			continue
		}
		if t.order[c] >= 0 {
			t.slip(line, column, "repeated-column", "the column "+name+" twice", "each column once", "the first is used")
			return
		}
		t.order[c] = i
		return
	}
	hint := "the column is not read"
	if near := place.Nearest(name, Columns); near != "" {
		hint = fmt.Sprintf("did you mean %q? the column is not read", near)
	}
	t.slip(line, column, "unknown-column", found("the column", name), "one of "+strings.Join(Columns, ", "), hint)
}

// next reads a row; false at the end.
func (t *table) next() bool {
	t.start = t.in.InputOffset()
	fields, err := t.in.Read()
	var bad *csv.ParseError
	switch {
	case errors.Is(err, io.EOF):
		return false
	case errors.As(err, &bad):
		t.skip(bad)
		return true
	case blank(fields):
		return true
	}
	line, _ := t.in.FieldPos(0)
	t.row(fields, t.base+line, t.fieldColumn)
	return true
}

// fieldColumn counts the characters before a field; on a later line of a record
// the bytes, which CSV readers count.
func (t *table) fieldColumn(field int) int {
	first, _ := t.in.FieldPos(0)
	line, column := t.in.FieldPos(field)
	record := bytes.TrimLeft(t.data[t.start:], "\r\n")
	if line == first && column <= len(record) {
		return 1 + utf8.RuneCount(record[:column-1])
	}
	return column
}

// place is where a column of the line being read stands.
func (t *table) place(column int) place.Problem {
	p := place.Problem{File: t.file, Line: t.line, Column: 1}
	if i := t.order[column]; i >= 0 && i < len(t.fields) {
		p.Column = t.column(i)
	}
	return p
}

// skip reports a line whose quotes do not close, takes it apart at the
// separators alone, and reads on with the next line.
func (t *table) skip(bad *csv.ParseError) {
	rest := t.data[t.start:]
	lines := bad.StartLine // a record starts behind blank lines
	for len(rest) > 0 && (rest[0] == '\n' || rest[0] == '\r') {
		rest = rest[1:]
	}
	line, after, _ := bytes.Cut(rest, []byte("\n"))
	t.slip(t.base+lines, bad.Column, "not-csv", "text that cannot be read: "+bad.Err.Error(), "a line of fields",
		`put a text that holds a quote into quotes, and double the quote: "the ""big"" field"`)
	fields := strings.Split(strings.TrimRight(string(line), "\r"), string(t.comma))
	for i, f := range fields {
		fields[i] = strings.Trim(f, `" `)
	}
	t.row(fields, t.base+lines, func(int) int { return 1 })
	t.data, t.base = after, t.base+lines
	t.restart()
}

// row hands a line on; column tells where a field of it starts.
func (t *table) row(fields []string, line int, column func(field int) int) {
	if len(fields) > t.width && !blank(fields[t.width:]) {
		t.slip(line, 1, "wrong-length", fmt.Sprintf("%d fields", len(fields)), fmt.Sprintf("%d, as in the header", t.width),
			"put a note that holds a comma into quotes; what is past the last column is not read")
	}
	t.fields, t.line, t.column = fields, line, column
	w := row{line: line, at: t.place}
	for c, i := range t.order {
		if i >= 0 && i < len(fields) {
			w.cells[c] = fields[i]
		}
	}
	t.rows.read(w)
}

func blank(fields []string) bool {
	for _, f := range fields {
		if strings.TrimSpace(f) != "" {
			return false
		}
	}
	return true
}
