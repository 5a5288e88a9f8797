package workload

import (
	"fmt"
	"strconv"
	"strings"

	"rootcue/engine/civil"
	"rootcue/engine/place"
	"rootcue/engine/strictjson"
)

// A Request is a question about one player and one day.
type Request struct {
	Policies []string    // names of the policies in force
	On       civil.Date  // the day asked about
	Age      int         // playing age in years, where Born is not given; -1 = not given
	Born     civil.Birth // the age then follows from each policy's own cut-off
	Throws   *int        // how many more are planned that day; nil: not asked
	Ledger   Ledger
}

var requestKeys = []string{"policy", "age", "born", "on", "throws", "ledger"}

// DecodeRequest reads the JSON form of a Request: policy (a name, names
// separated by commas, or a list of names), age, born, on, throws, and ledger, a
// list of objects with the Columns as keys. Slips of ledger lines are reported, and
// the good lines kept, as with ReadCSV.
func DecodeRequest(data []byte) (Request, []place.Problem) {
	q := Request{Age: -1}
	var ledger []byte
	problems := strictjson.Read(data, func(r *strictjson.Reader) {
		r.Object(func(key string) {
			if key == "ledger" {
				ledger = r.Raw()
				return
			}
			q.read(r, key)
		})
	})
	if q.On.IsZero() && len(problems) == 0 {
		problems = append(problems, place.Problem{Code: "missing-key", Pointer: "/on", Found: "no key \"on\"", Wanted: "the date asked about, YYYY-MM-DD"})
	}
	if ledger == nil || len(problems) > 0 {
		return q, problems
	}
	slips := strictjson.Read(ledger, func(r *strictjson.Reader) {
		var late []place.Problem
		q.Ledger, late = ReadJSON(r, q.On)
		for _, p := range late {
			r.Report(p)
		}
	})
	for _, p := range slips {
		p.Pointer = "/ledger" + p.Pointer
		problems = append(problems, p)
	}
	return q, problems
}

func (q *Request) read(r *strictjson.Reader, key string) {
	switch key {
	case "policy":
		q.readPolicies(r)
	case "age":
		if n, ok := r.Int("the playing age in whole years"); ok {
			q.Age = n
			if n < 0 || n > 99 {
				r.Problem("out-of-range", "the age "+strconv.Itoa(n), "a playing age from 0 to 99 years", "")
			}
		}
	case "throws":
		if n, ok := r.Int("a whole number of throws"); ok {
			q.Throws = &n
		}
	case "born":
		if s, ok := r.Text("the month of birth, YYYY-MM"); ok {
			b, err := civil.ParseBirth(s)
			if err != nil {
				r.Problem("wrong-form", found("born", s), "a month of birth written YYYY-MM", "")
			}
			q.Born = b
		}
	case "on":
		if s, ok := r.Text("the date asked about, YYYY-MM-DD"); ok {
			d, err := civil.Parse(s)
			if err != nil {
				r.Problem("bad-date", found("the date", s), "a date written YYYY-MM-DD", "")
			}
			q.On = d
		}
	default:
		r.Unknown(key, requestKeys)
	}
}

func (q *Request) readPolicies(r *strictjson.Reader) {
	const wanted = "the name of a policy"
	if r.IsArray() {
		r.Array(func(int) {
			if s, ok := r.Text(wanted); ok {
				q.Policies = append(q.Policies, s)
			}
		})
		return
	}
	if s, ok := r.Text(wanted); ok {
		q.Policies = SplitNames(s)
	}
}

// SplitNames takes a list of names separated by commas apart.
func SplitNames(s string) (names []string) {
	for _, n := range strings.Split(s, ",") {
		if n = strings.TrimSpace(n); n != "" {
			names = append(names, n)
		}
	}
	return names
}

// MostEntries bounds a ledger that is read: what is behind it is not looked at,
// and told as one slip.
const MostEntries = 50_000

// CodeTooMany is the code of that slip.
const CodeTooMany = "too-many-lines"

func tooMany() (code, found, wanted, hint string) {
	return CodeTooMany, fmt.Sprintf("more than %d entries", MostEntries), fmt.Sprintf("at most %d", MostEntries), "send them in parts"
}

// mostOfEntry bounds what is told of one entry, which has a handful of keys.
const mostOfEntry = 10

// ReadJSON reads a ledger as a JSON array of objects with the Columns as keys;
// numbers and texts both do. Lines count from 1 in the order of the array.
// Slips of form go to the reader, slips of content are returned; the good lines
// are kept.
func ReadJSON(r *strictjson.Reader, on civil.Date) (Ledger, []place.Problem) {
	rows := &rowReader{on: on, games: map[game]int{}}
	many := false
	r.Array(func(i int) {
		if many = i >= MostEntries; many {
			r.Skip()
			return
		}
		r.Item(mostOfEntry)
		w := row{line: i + 1}
		r.Object(func(key string) { w.cell(r, key) })
		base := r.Pointer()
		w.at = func(column int) place.Problem {
			return place.Problem{Line: w.line, Pointer: base + "/" + Columns[column]}
		}
		if !r.Broken() {
			rows.read(w)
		}
	})
	r.Item(0)
	if many {
		r.Problem(tooMany())
	}
	return rows.ledger, rows.problems
}

func (w *row) cell(r *strictjson.Reader, key string) {
	for c, known := range Columns {
		if key == known {
			w.cells[c] = cellText(r, known)
			return
		}
	}
	r.Unknown(key, Columns)
}

// cellText reads a value as the text a CSV would hold; null is empty.
func cellText(r *strictjson.Reader, column string) string {
	switch {
	case r.Null():
		return ""
	case r.IsNumber():
		v, _ := r.Float("a number")
		return strconv.FormatFloat(v, 'f', -1, 64)
	case r.IsBool():
		if b, _ := r.Bool("yes or no"); b {
			return "yes"
		}
		return "no"
	}
	s, _ := r.Text("a text or a number for " + column)
	return s
}
