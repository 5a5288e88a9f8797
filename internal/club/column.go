package club

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"rootcue/engine/place"
	"rootcue/engine/rubric"
	"rootcue/engine/unit"
)

// headColumns are the columns that rows of one observation share.
var headColumns = []string{"rubric", "player", "age", "born", "stature_cm", "stature_on", "throws", "on", "session", "rater"}

// A column is one column of a table.
type column struct {
	name string
	unit string // as in the header, "" for none
}

// header reads the header line.
func (t *table) header(text []byte) *place.Problem {
	slip := func(at int, code, found, wanted, hint string) *place.Problem {
		return &place.Problem{Code: code, Line: 1, Column: at, Found: found, Wanted: wanted, Hint: hint}
	}
	if strings.Contains(string(text), "\x00") || !utf8.Valid(text) {
		return slip(1, "not-utf8", "bytes that are not UTF-8", "text in UTF-8", "save the file as CSV UTF-8")
	}
	t.split = splitterOf(string(text))
	cells, open := t.split.cells(string(text))
	if open > 0 {
		return slip(open, "quote-open", "a quote that is not closed on its line", "a closing quote", "")
	}
	for _, c := range cells {
		col, ok := columnOf(c.text)
		switch {
		case c.text == "" && c == cells[len(cells)-1]:
			continue
		case !ok:
			return slip(c.at, "bad-column", strconv.Quote(c.text), "a column's name, its unit in brackets, such as exchange_time [s]", "")
		case slices.ContainsFunc(t.columns, func(o column) bool { return o.name == col.name }):
			return slip(c.at, "repeated-column", "the column "+col.name+" again", "each column once", "")
		}
		if _, known := unit.Parse(col.unit); col.unit != "" && !known {
			return slip(c.at, "unknown-unit", strconv.Quote(col.unit), strings.Join(unit.Names(), " "), "")
		}
		t.columns = append(t.columns, col)
	}
	for _, name := range []string{"player", "on"} {
		if !slices.ContainsFunc(t.columns, func(c column) bool { return c.name == name }) {
			return slip(1, "missing-column", "no column "+name, "the columns of the rubric's template.csv", "the first line names the columns")
		}
	}
	return nil
}

var headerCell = regexp.MustCompile(`^([a-z][a-z0-9_]*)(?:\s*\[([^\]]+)\])?$`)

func columnOf(text string) (column, bool) {
	m := headerCell.FindStringSubmatch(text)
	if m == nil {
		return column{}, false
	}
	return column{m[1], m[2]}, true
}

// String is the column's header cell.
func (c column) String() string {
	if c.unit == "" {
		return c.name
	}
	return c.name + " [" + c.unit + "]"
}

// take puts a cell where it belongs. A code other than "" is a slip.
func (c column) take(text string, head map[string]any, r *row) (code, found, wanted, hint string) {
	switch c.name {
	case "player":
		into(head, "player", "ref", text)
	case "rubric", "session", "rater":
		head[c.name] = text
	case "born", "throws":
		into(head, "player", c.name, strings.ToLower(text))
	case "on", "stature_on":
		return c.takeDate(text, head)
	case "age", "stature_cm":
		return c.takeNumber(text, func(v any) { into(head, "player", c.name, v) })
	case "clip":
		r.rep["clip"] = text
	case "held":
		r.rep["held"] = strings.Fields(text)
	case "rep":
		return c.takeRep(text, r)
	default:
		return c.takeSeen(text, r)
	}
	return "", "", "", ""
}

func (c column) takeRep(text string, r *row) (code, found, wanted, hint string) {
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		return "bad-number", strconv.Quote(text), "the rep's number, from 1", ""
	}
	r.n = n
	return "", "", "", ""
}

var isoDate = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}$`)

func (c column) takeDate(text string, head map[string]any) (code, found, wanted, hint string) {
	if !isoDate.MatchString(text) {
		return "bad-date", strconv.Quote(text), "a date such as 2026-05-09", dateHint(text)
	}
	if c.name == "on" {
		head["on"] = text
	} else {
		into(head, "player", c.name, text)
	}
	return "", "", "", ""
}

var (
	serialDate  = regexp.MustCompile(`^[2-9]\d{4}$`)
	numericDate = regexp.MustCompile(`^\d{1,4}[./-]\d{1,2}([./-]\d{0,4})?$`)
	namedDate   = regexp.MustCompile(`(?i)^(\d{1,4}[. -]*)?(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*[. -]*\d{0,4}$`)
)

// dateHint says what to do about a date as spreadsheets write it.
func dateHint(text string) string {
	switch {
	case serialDate.MatchString(text):
		return "this is a spreadsheet's day count: give the column the format YYYY-MM-DD, or text"
	case numericDate.MatchString(text), namedDate.MatchString(text):
		return "day and month could be taken for each other: give the column the format YYYY-MM-DD, or text"
	}
	return ""
}

// takeNumber takes a plain number.
func (c column) takeNumber(text string, set func(any)) (code, found, wanted, hint string) {
	n, ok := numberOf(text)
	if !ok {
		return "bad-number", strconv.Quote(text), c.wantedNumber(), numberHint(text)
	}
	set(n)
	return "", "", "", ""
}

func (c column) wantedNumber() string {
	if c.unit == "" {
		return "a number"
	}
	return "a number in " + c.unit
}

// numberHint says what may have become of a number.
func numberHint(text string) string {
	switch {
	case numericDate.MatchString(text) || namedDate.MatchString(text):
		return "a spreadsheet has made a date of a number: give the column the format number, and enter it again"
	case strings.Contains(text, ",") && strings.Contains(text, "."):
		return "write it without a separator of thousands"
	}
	for _, name := range unit.Names() {
		if rest, ok := strings.CutSuffix(text, name); ok {
			if _, ok := numberOf(strings.TrimSpace(rest)); ok {
				return fmt.Sprintf("units stand in the header, as [%s]", name)
			}
		}
	}
	return ""
}

// takeSeen takes a condition or a measure.
func (c column) takeSeen(text string, r *row) (code, found, wanted, hint string) {
	below := "measures"
	if at := rubric.ConditionNamed(c.name); at >= 0 {
		if below = "conditions"; rubric.Enumerations[at] != nil {
			into(r.rep, below, c.name, text)
			return "", "", "", ""
		}
	}
	if yes, ok := yesNo[strings.ToLower(text)]; ok {
		into(r.rep, below, c.name, yes)
		return "", "", "", ""
	}
	n, ok := numberOf(text)
	switch {
	case !ok && c.unit == "":
		return "bad-value", strconv.Quote(text), "a number, or one of " + place.List(words()), numberHint(text)
	case !ok:
		return "bad-number", strconv.Quote(text), c.wantedNumber(), numberHint(text)
	case c.unit != "":
		into(r.rep, below, c.name, map[string]any{"value": n, "unit": c.unit})
	default:
		into(r.rep, below, c.name, n)
	}
	return "", "", "", ""
}

// TemplateCSV is the header line of a table to fill in for a rubric: what an
// observation needs, then the conditions, then the measures in their units of
// entry. Derived measures are left out.
func TemplateCSV(r *rubric.Rubric) string {
	cells := append(slices.Clone(headColumns), "rep", "clip")
	for i, name := range rubric.ConditionNames {
		if rubric.Condition(i) == rubric.BasePath {
			name = column{name, r.BasePathUnit.Name}.String()
		}
		cells = append(cells, name)
	}
	for i := range r.Measures {
		m := &r.Measures[i]
		switch {
		case m.Formula != nil || m.BuiltIn:
		case m.Kind == rubric.Quantity:
			cells = append(cells, column{m.Name, m.Enter.Name}.String())
		default:
			cells = append(cells, m.Name)
		}
	}
	return strings.Join(cells, ",") + "\r\n"
}
