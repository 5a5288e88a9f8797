package workload

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"rootcue/engine/civil"
	"rootcue/engine/place"
)

// Columns are the columns of a ledger, the first three of which must be there.
var Columns = []string{"date", "kind", "count", "game", "pain", "note", "count_at_last_batter", "where"}

// A row is a line of a ledger before it is understood: the texts of Columns,
// and where each stands.
type row struct {
	line  int
	cells [8]string
	at    func(column int) place.Problem // a Problem with nothing but its place
}

// The positions in Columns.
const (
	dateColumn = iota
	kindColumn
	countColumn
	gameColumn
	painColumn
	noteColumn
	lastBatterColumn
	whereColumn
)

// A rowReader turns rows into entries and collects the slips.
type rowReader struct {
	on       civil.Date // later dates are slips
	ledger   Ledger
	problems []place.Problem
	games    map[game]int // the line that holds the pitch count of a game
}

type game struct {
	date        civil.Date
	game, where string
}

func (r *rowReader) slip(w row, column int, code, found, wanted, hint string) {
	p := w.at(column)
	p.Code, p.Found, p.Wanted, p.Hint = code, found, wanted, hint
	r.problems = append(r.problems, p)
}

// read takes in one row. A count that cannot be read leaves the entry with an
// unknown count; a date or kind that cannot be read leaves the row out, except
// that reported pain or a blow is never lost: it then holds on every day.
func (r *rowReader) read(w row) {
	for i, c := range w.cells {
		w.cells[i] = strings.TrimSpace(c)
	}
	e := Entry{Line: w.line, Game: w.cells[gameColumn], Where: w.cells[whereColumn], Note: w.cells[noteColumn], Pain: saysPain(w.cells[painColumn])}
	if e.Pain {
		e.PainSays = w.cells[painColumn]
	}
	kindOK := r.kind(w, &e)
	dateOK := r.date(w, &e)
	if hurt := e.Pain || e.Kind == Pain || e.Kind == Blow; hurt {
		if e.Kind == "" {
			e.Kind = Pain
		}
		kindOK = true
		if !dateOK {
			dateOK = true // on every day, until the line is put right
		}
	}
	if !kindOK || !dateOK {
		last := r.problems[len(r.problems)-1]
		r.ledger.Unread = append(r.ledger.Unread, Unread{w.line, "found " + last.Found})
		return
	}
	r.counts(w, &e)
	if e.Kind == Cleared && e.Note == "" {
		r.slip(w, noteColumn, "missing-value", "cleared without a note", "in the note, the role of who cleared the player", `write "athletic trainer" or "physician", no names`)
		r.ledger.Unread = append(r.ledger.Unread, Unread{w.line, "cleared without saying in which role"})
		return
	}
	r.oneCountAGame(w, e)
	r.ledger.Entries = append(r.ledger.Entries, e)
}

func (r *rowReader) kind(w row, e *Entry) bool {
	s := w.cells[kindColumn]
	for _, k := range Kinds {
		if s == k || strings.EqualFold(s, k) {
			e.Kind = Kind(k)
			return true
		}
	}
	hint := ""
	if near := nearestKind(s); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
		if near == string(Pain) || near == string(Blow) {
			e.Kind = Kind(near)
		}
	}
	r.slip(w, kindColumn, "unknown-kind", found("the kind", s), "one of "+strings.Join(Kinds, ", "), hint)
	return false
}

// nearestKind is the kind a misspelt or shortened one was meant to be.
func nearestKind(s string) string {
	if near := place.Nearest(s, Kinds); near != "" || s == "" {
		return near
	}
	for _, k := range Kinds {
		if strings.HasPrefix(k, strings.ToLower(s)) {
			return k
		}
	}
	return ""
}

func (r *rowReader) date(w row, e *Entry) bool {
	s := w.cells[dateColumn]
	d, err := civil.Parse(s)
	switch {
	case err != nil:
		r.slip(w, dateColumn, "bad-date", found("the date", s), "a date written YYYY-MM-DD", dateHint(s))
		return false
	case d.After(r.on):
		r.slip(w, dateColumn, "future-date", "the date "+s, "a date up to "+r.on.String()+", the day asked about", "correct the date, or ask about a later day")
		return false
	}
	e.Date = d
	return true
}

func (r *rowReader) counts(w row, e *Entry) {
	if s := w.cells[countColumn]; s != "" && (e.Kind.counted() || e.Kind == TimeOff) {
		e.Count = r.count(w, countColumn, e.Kind)
	}
	s := w.cells[lastBatterColumn]
	if s == "" || e.Kind != Pitches {
		return
	}
	last := r.count(w, lastBatterColumn, e.Kind)
	if e.Count.known && last.parts > e.Count.parts {
		r.slip(w, lastBatterColumn, "out-of-range", s+" pitches before the last batter", "at most the count, "+e.Count.String(), "")
		return
	}
	e.AtLastBatter = last
}

func (r *rowReader) count(w row, column int, k Kind) Count {
	c, wanted := readCount(k, w.cells[column])
	if wanted != "" {
		r.slip(w, column, "bad-count", found("the count", w.cells[column]), wanted, "until it is corrected the count is taken as unknown")
	}
	return c
}

// oneCountAGame reports a second pitch count for the same stated game. Both
// are counted, which is the stricter reading, until the line is put right.
func (r *rowReader) oneCountAGame(w row, e Entry) {
	if e.Kind != Pitches || e.Game == "" {
		return
	}
	g := game{e.Date, e.Game, e.Where}
	if first, twice := r.games[g]; twice {
		r.slip(w, countColumn, "two-counts", fmt.Sprintf("a second pitch count for game %s on %v (the first is in line %d)", e.Game, e.Date, first),
			"one pitch count a game for a player", "if both are this player's, add them up in one line; if one is another pitcher's, take it out; both are counted until then")
		return
	}
	r.games[g] = w.line
}

// saysPain reads the column pain. Whatever is not plainly a no is pain, for
// people write "elbow" or "3/10" there.
func saysPain(s string) bool {
	switch strings.ToLower(s) {
	case "", "no", "n", "none", "0", "false", "-", "nil":
		return false
	}
	return true
}

func found(what, s string) string {
	if s == "" {
		return "nothing for " + what
	}
	if r := []rune(s); len(r) > 40 {
		s = string(r[:40]) + "…"
	}
	return what + " " + strconv.Quote(s)
}

var (
	serialDate = regexp.MustCompile(`^[3-6][0-9]{4}(\.[0-9]+)?$`)
	slashDate  = regexp.MustCompile(`^([0-9]{1,4})[/.\-]([0-9]{1,2})[/.\-]([0-9]{2,4})$`)
)

// dateHint recognises what spreadsheets make of dates.
func dateHint(s string) string {
	const format = "format the spreadsheet's column as YYYY-MM-DD"
	switch {
	case serialDate.MatchString(s):
		n, _ := strconv.Atoi(s[:5])
		// Spreadsheets count days from 1899-12-30.
		return fmt.Sprintf("a spreadsheet's day number, %v? %s", civil.Date{Year: 1899, Month: 12, Day: 30}.AddDays(n), format)
	case slashDate.MatchString(s):
		return "day and month could be either way round; " + format
	case len(s) > 10 && (s[10] == 'T' || s[10] == ' '):
		return "leave the time of day out: " + s[:10]
	}
	return ""
}
