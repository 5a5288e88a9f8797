package club

import (
	"bytes"
	"math"
	"strconv"

	"rootcue/engine/place"
	"rootcue/engine/strictjson"
)

// A Form is how lines of an input are written.
type Form int

// The forms of a list of grades.
const (
	AsJSON   Form = iota // an object with the list under "grades"
	AsNDJSON             // an object a line
	AsTable              // CSV with a header
)

// A gradeRow is one grade as read; grade is "" where nothing was seen.
type gradeRow struct {
	line                        int
	bib, evaluator, item, grade string
	look                        int
	slips                       []place.Problem
	locate                      func(key string, slip place.Problem) place.Problem
}

var gradeKeys = []string{"bib", "evaluator", "item", "grade", "look"}

// readGrades reads every line it can; what is no list or table at all is a
// Refusal.
func readGrades(body []byte, form Form) ([]gradeRow, error) {
	switch form {
	case AsTable:
		return gradeTable(body)
	case AsNDJSON:
		return gradeLines(body)
	}
	docs, prefix, err := jsonItems(body, "grades")
	if err != nil {
		return nil, err
	}
	rows := make([]gradeRow, len(docs))
	for i, doc := range docs {
		rows[i] = readGrade(doc, prefix(i))
		rows[i].line = i + 1
	}
	return rows, nil
}

func gradeLines(body []byte) (rows []gradeRow, err error) {
	lines := newLines(bytes.NewReader(body))
	for {
		text, slip, err := lines.next()
		switch {
		case err != nil: // the end: bytes at hand cannot fail
			return rows, nil
		case len(rows) == mostLines:
			return nil, tooManyLines()
		case slip != nil:
			rows = append(rows, gradeRow{line: lines.n, slips: []place.Problem{*slip}})
		case len(bytes.TrimSpace(text)) > 0:
			row := readGrade(text, "")
			row.line = lines.n
			rows = append(rows, row)
		}
	}
}

// readGrade reads one grade, an object.
func readGrade(doc []byte, prefix string) gradeRow {
	r := gradeRow{look: 1, locate: atPointer(prefix)}
	slips := strictjson.ReadMost(mostOfLine, doc, func(d *strictjson.Reader) {
		d.Object(func(key string) {
			switch key {
			case "bib":
				r.bib = readWord(d, "the bib, as text or a whole number")
			case "evaluator":
				r.evaluator, _ = d.Text("the club's reference of the evaluator")
			case "item":
				r.item, _ = d.Text("the name of an item of the tryout")
			case "grade":
				r.grade = readValue(d)
			case "look":
				if !d.Null() {
					r.look, _ = d.Int("a whole number from 1")
				}
			default:
				d.Unknown(key, gradeKeys)
			}
		})
	})
	r.slips = moved(slips, prefix)
	return r
}

// readValue reads a grade: a number, yes or no in words or as true and false,
// or null for what was not seen.
func readValue(d *strictjson.Reader) string {
	const wanted = "a number, yes or no; null where nothing was seen"
	switch {
	case d.Null():
		return ""
	case d.IsBool():
		yes, _ := d.Bool(wanted)
		return map[bool]string{true: "yes", false: "no"}[yes]
	case d.IsNumber():
		v, _ := d.Float(wanted)
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	text, _ := d.Text(wanted)
	return text
}

func gradeTable(body []byte) ([]gradeRow, error) {
	g, err := readGrid(body, gradeKeys[:4], gradeKeys[4:])
	if err != nil {
		return nil, err
	}
	rows := make([]gradeRow, len(g.rows))
	for i := range g.rows {
		from := &g.rows[i]
		text := func(name string) string { return from.cells[name].text }
		r := gradeRow{from.line, text("bib"), text("evaluator"), text("item"), text("grade"), 1, from.slips, from.at}
		if t := text("look"); t != "" {
			n, err := strconv.Atoi(t)
			if r.look = n; err != nil {
				r.slips = append(r.slips, from.at("look", place.Problem{Code: "bad-look", Found: strconv.Quote(t), Wanted: "a whole number from 1"}))
			}
		}
		rows[i] = r
	}
	return rows, nil
}

// mostLook bounds the number of a look.
const mostLook = math.MaxInt32
