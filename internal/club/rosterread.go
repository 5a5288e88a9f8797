package club

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"rootcue/engine/place"
	"rootcue/engine/strictjson"
)

// A rosterRow is one line of a roster as read.
type rosterRow struct {
	line        int
	bib, player string
	slips       []place.Problem
	locate      func(key string, slip place.Problem) place.Problem // puts a slip at a key or column
}

// readRoster reads a list of objects, one object, or a table.
func readRoster(body []byte, table bool) ([]rosterRow, error) {
	if table {
		return rosterTable(body)
	}
	docs, prefix, err := jsonItems(body, "")
	if err != nil {
		return nil, err
	}
	rows := make([]rosterRow, len(docs))
	for i, doc := range docs {
		r := &rows[i]
		r.line, r.locate = i+1, atPointer(prefix(i))
		found := strictjson.ReadMost(mostOfLine, doc, func(d *strictjson.Reader) {
			d.Object(func(key string) {
				switch key {
				case "bib":
					r.bib = readWord(d, "the bib, as text or a whole number")
				case "player":
					r.player, _ = d.Text("the club's reference of the player")
				default:
					d.Unknown(key, []string{"bib", "player"})
				}
			})
		})
		r.slips = moved(found, prefix(i))
		r.check()
	}
	return rows, nil
}

func rosterTable(body []byte) ([]rosterRow, error) {
	g, err := readGrid(body, []string{"bib", "player"}, nil)
	if err != nil {
		return nil, err
	}
	rows := make([]rosterRow, len(g.rows))
	for i := range g.rows {
		from := &g.rows[i]
		rows[i] = rosterRow{from.line, from.cells["bib"].text, from.cells["player"].text, from.slips, from.at}
		rows[i].check()
	}
	return rows, nil
}

// check finds what cannot be kept.
func (r *rosterRow) check() {
	if len(r.slips) > 0 {
		return
	}
	if badName(r.bib, mostBib) {
		r.slips = append(r.slips, r.locate("bib", place.Problem{Code: "bad-bib", Found: found(r.bib, "bib"), Wanted: nameWanted(mostBib)}))
	}
	if r.player == "" || len(r.player) > 200 || strings.ContainsRune(r.player, 0) {
		r.slips = append(r.slips, r.locate("player", place.Problem{Code: "bad-ref", Found: found(r.player, "player"), Wanted: "the club's reference of the player, at most 200 bytes"}))
	}
}

func found(text, name string) string {
	if text == "" {
		return "no " + name
	}
	return strconv.Quote(text)
}

// jsonItems takes a body apart: a list, one object, or with a key an object
// that holds the list under it. prefix gives the JSON Pointer of the i-th item.
// What is none of these is a Refusal.
func jsonItems(body []byte, key string) (docs [][]byte, prefix func(int) string, err error) {
	base, single := "", false
	var slips []place.Problem
	list := func(d *strictjson.Reader) {
		d.Array(func(i int) {
			if i > mostLines {
				d.Skip()
				return
			}
			docs = append(docs, d.Raw())
		})
	}
	switch kind := jsontext.Value(bytes.TrimSpace(body)).Kind(); {
	case key != "":
		base = "/" + key
		there := false
		slips = strictjson.Read(body, func(d *strictjson.Reader) {
			d.Object(func(k string) {
				if k != key {
					d.Unknown(k, []string{key})
					return
				}
				there = true
				list(d)
			})
			if !there && !d.Broken() {
				d.Report(place.Problem{Code: "missing-key", Found: "no " + strconv.Quote(key), Wanted: strconv.Quote(key) + " with a list"})
			}
		})
	case kind == '{':
		single = true
		docs = [][]byte{body}
	default:
		slips = strictjson.Read(body, list)
	}
	if len(slips) > 0 {
		return nil, nil, &Refusal{slips}
	}
	if len(docs) > mostLines {
		return nil, nil, tooManyLines()
	}
	return docs, func(i int) string {
		if single {
			return ""
		}
		return fmt.Sprintf("%s/%d", base, i)
	}, nil
}

// atPointer puts a slip at a key below a JSON Pointer, or with "" at the whole.
func atPointer(prefix string) func(string, place.Problem) place.Problem {
	return func(key string, slip place.Problem) place.Problem {
		if slip.Pointer = prefix; key != "" {
			slip.Pointer += "/" + key
		}
		return slip
	}
}

// moved puts slips below a JSON Pointer.
func moved(slips []place.Problem, prefix string) []place.Problem {
	for i := range slips {
		slips[i].Pointer = prefix + slips[i].Pointer
	}
	return slips
}

// readWord reads a text, or a whole number as one.
func readWord(d *strictjson.Reader, wanted string) string {
	if d.IsNumber() {
		n, _ := d.Int(wanted)
		return strconv.Itoa(n)
	}
	text, _ := d.Text(wanted)
	return text
}
