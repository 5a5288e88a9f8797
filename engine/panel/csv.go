package panel

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"rootcue/engine/place"
)

// ReadCSV reads the grades of a tryout: a header with the columns bib,
// evaluator, item and grade, and look where someone graded twice, in any order.
// A grade is a number, or yes or no; an empty grade was not seen and is left
// out. Every line that cannot be used is reported by its number, and the others
// are kept; file names the file in them. Without a usable header there are no
// grades.
func ReadCSV(file string, data []byte) ([]Grade, []place.Problem) {
	r := reader{file: file, at: map[string]int{}, first: map[string]string{}, kind: map[string]kindAt{}, seen: map[string]int{}}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	for line := 1; len(data) > 0; line++ {
		var raw []byte
		raw, data, _ = bytes.Cut(data, []byte("\n"))
		r.line = line
		r.read(strings.TrimSuffix(string(raw), "\r"))
		if r.broken {
			return nil, r.problems
		}
	}
	if len(r.at) == 0 {
		r.report("no-header", 0, "no header line", headerWanted, "")
	}
	return r.grades, r.problems
}

const headerWanted = "a first line with the columns bib,evaluator,item,grade and, if wanted, look"

// reader keeps what earlier lines said.
type reader struct {
	file     string
	line     int
	at       map[string]int    // column by name
	first    map[string]string // one copy of each name
	kind     map[string]kindAt // by item
	seen     map[string]int    // line by player, evaluator, item and look
	grades   []Grade
	problems []place.Problem
	broken   bool
}

type kindAt struct {
	yesNo bool
	line  int
}

func (r *reader) report(code string, column int, found, wanted, hint string) {
	r.problems = append(r.problems, place.Problem{Code: code, File: r.file, Line: max(r.line, 1), Column: max(column, 1), Found: found, Wanted: wanted, Hint: hint})
}

// read takes one line: the header, a grade, or nothing.
func (r *reader) read(line string) {
	switch {
	case strings.Trim(line, " \t,") == "":
		return
	case !utf8.ValidString(line):
		r.report("bad-text", 0, "bytes that are not UTF-8", "text in UTF-8", "save the file as CSV UTF-8")
		r.broken = len(r.at) == 0
		return
	}
	fields, err := fields(line)
	if err != nil {
		r.report("bad-line", 0, "a line whose quotes do not match", `fields with "…" around them or without quotes`, "")
		r.broken = len(r.at) == 0
		return
	}
	if len(r.at) == 0 {
		r.header(fields)
		return
	}
	if len(fields) != len(r.at) {
		hint := ""
		if len(fields) == len(r.at)+1 {
			hint = "write decimals with a point: 3.5, not 3,5"
		}
		r.report("bad-line", 0, fmt.Sprintf("%d fields", len(fields)), fmt.Sprintf("%d, as in the header", len(r.at)), hint)
		return
	}
	r.grade(line, fields)
}

// fields splits a line; a field never goes over a line's end.
func fields(line string) ([]string, error) {
	if !strings.Contains(line, `"`) {
		return strings.Split(line, ","), nil
	}
	c := csv.NewReader(strings.NewReader(line))
	c.FieldsPerRecord = -1
	return c.Read()
}

var columnNames = []string{"bib", "evaluator", "item", "grade", "look"}

func (r *reader) header(fields []string) {
	for i, f := range fields {
		name := strings.ToLower(strings.TrimSpace(f))
		switch _, twice := r.at[name]; {
		case !slices.Contains(columnNames, name):
			r.report("unknown-column", 0, fmt.Sprintf("the column %q", f), "bib, evaluator, item, grade or look", "")
			r.broken = true
		case twice:
			r.report("unknown-column", 0, "the column "+name+" twice", "each column once", "")
			r.broken = true
		}
		r.at[name] = i
	}
	for _, name := range columnNames[:4] {
		if _, ok := r.at[name]; !ok {
			r.report("missing-column", 0, fmt.Sprintf("the header %q", strings.Join(fields, ",")), headerWanted, "add the column "+name)
			r.broken = true
		}
	}
}

// grade checks one line's fields and keeps the grade, or reports the first slip.
func (r *reader) grade(line string, fields []string) {
	text := func(name string) string { return r.one(strings.TrimSpace(fields[r.at[name]])) }
	column := func(name string) int { return columnOf(line, r.at[name]) }
	g := Grade{Bib: text("bib"), Evaluator: text("evaluator"), Item: text("item")}
	for _, f := range []struct{ name, value string }{{"bib", g.Bib}, {"evaluator", g.Evaluator}, {"item", g.Item}} {
		if f.value == "" {
			r.report("empty-field", column(f.name), "no "+f.name, "a "+f.name, "")
			return
		}
	}
	if at, ok := r.at["look"]; ok && strings.TrimSpace(fields[at]) != "" {
		n, err := strconv.Atoi(strings.TrimSpace(fields[at]))
		if err != nil || n < 1 {
			r.report("bad-look", column("look"), fields[at], "a whole number from 1", "")
			return
		}
		g.Look = n
	}
	value := strings.TrimSpace(fields[r.at["grade"]])
	if value == "" {
		return
	}
	var ok bool
	if g.Value, g.YesNo, ok = gradeValue(value); !ok {
		r.report("bad-grade", column("grade"), value, "a number from -1e9 to 1e9, yes or no", "leave the field empty where nothing was seen")
		return
	}
	r.keep(g, column("grade"))
}

// keep holds a grade against the lines before.
func (r *reader) keep(g Grade, column int) {
	kind, known := r.kind[g.Item]
	if known && kind.yesNo != g.YesNo {
		r.report("mixed-item", column, kindOf(g.YesNo), fmt.Sprintf("%s, as for %s in line %d", kindOf(kind.yesNo), g.Item, kind.line), "")
		return
	}
	key := strings.Join([]string{g.Bib, g.Evaluator, g.Item, strconv.Itoa(g.look())}, "\x00")
	if line, twice := r.seen[key]; twice {
		r.report("graded-twice", 0, fmt.Sprintf("a second grade of player %s by %s on %s", g.Bib, g.Evaluator, g.Item),
			fmt.Sprintf("one; line %d has it", line), "number second looks in a column look")
		return
	}
	if !known {
		r.kind[g.Item] = kindAt{g.YesNo, r.line}
	}
	r.seen[key] = r.line
	r.grades = append(r.grades, g)
}

// number is a plain decimal number; Go's own parser would also take hex, Inf
// and underscores.
var number = regexp.MustCompile(`^[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?$`)

func gradeValue(s string) (value float64, yesNo, ok bool) {
	switch strings.ToLower(s) {
	case "yes":
		return 1, true, true
	case "no":
		return 0, true, true
	}
	if !number.MatchString(s) {
		return 0, false, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, false, err == nil && v >= -1e9 && v <= 1e9
}

// one returns the first copy of a name, so that a long file does not hold each
// name once a line.
func (r *reader) one(s string) string {
	if first, ok := r.first[s]; ok {
		return first
	}
	r.first[s] = s
	return s
}

// columnOf is the column of a field's first character, from 1.
func columnOf(line string, field int) int {
	start := 0
	if strings.Contains(line, `"`) {
		c := csv.NewReader(strings.NewReader(line))
		c.FieldsPerRecord = -1
		if _, err := c.Read(); err == nil {
			_, start = c.FieldPos(field)
			start--
		}
	} else {
		for range field {
			start += strings.Index(line[start:], ",") + 1
		}
	}
	return utf8.RuneCountInString(line[:start]) + 1
}
