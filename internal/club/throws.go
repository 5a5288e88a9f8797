package club

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"rootcue/engine/civil"
	"rootcue/engine/place"
	"rootcue/engine/strictjson"
	"rootcue/engine/workload"
	"rootcue/internal/store"
)

// ErrNotAllowed: the key's role is too small for what was asked.
var ErrNotAllowed = refusedRole{}

type refusedRole struct{}

// Error says what is lacking.
func (refusedRole) Error() string { return "the key may not do this" }

// A ThrowLine is the answer to one line of ledger entries. A line that tells of
// pain or a blow is kept whatever else is wrong with it.
type ThrowLine struct {
	Line   int             `json:"line" doc:"Of the table (the header is line 1) or of the list, from 1"`
	Status string          `json:"status" enum:"stored,same,refused" doc:"same: known already, nothing changed"`
	ID     string          `json:"id,omitempty" doc:"Of the entry; absent when refused or the same"`
	Slips  []place.Problem `json:"-"`
}

// AddThrows keeps ledger entries of a player, from a list of objects in JSON or
// a table in CSV. Good lines are kept beside bad ones. An entry known already
// is not counted twice: sending a whole file again is safe; two like sessions
// of a day are told apart by game or note.
func (c *Clubs) AddThrows(ctx context.Context, a Actor, ref string, body []byte, table bool) (lines []ThrowLine, err error) {
	if ref == "" || strings.ContainsRune(ref, 0) {
		return nil, refuse("bad-ref", "", "a reference that cannot be kept", "the club's own reference of the player", "")
	}
	err = c.write(ctx, a, func(tx store.Tx) error {
		s, err := settingsOf(ctx, tx)
		if err != nil {
			return err
		}
		today, err := s.today(tx)
		if err != nil {
			return err
		}
		read, err := readEntries(body, table, today)
		if err != nil {
			return err
		}
		if err := tx.EnsurePlayers(ctx, ref); err != nil {
			return err
		}
		lines, err = c.addThrows(ctx, tx, a, ref, read, today)
		return err
	})
	return lines, err
}

// entries are lines of a ledger as read.
type entries struct {
	ledger workload.Ledger
	slips  map[int][]place.Problem // by line
}

// mostSlips is more than a body can have; each line is told its own.
const mostSlips = MaxDocument

// readEntries reads lines; what is no list or table at all is a Refusal.
func readEntries(body []byte, table bool, today civil.Date) (entries, error) {
	var l workload.Ledger
	var slips []place.Problem
	one := false // entry, not a list
	if table {
		l, slips = workload.ReadCSV("", body, today)
	} else {
		one = jsontext.Value(bytes.TrimSpace(body)).Kind() == '{'
		if one {
			body = slices.Concat([]byte("["), body, []byte("]"))
		}
		var late []place.Problem
		slips = strictjson.ReadMost(mostSlips, body, func(r *strictjson.Reader) { l, late = workload.ReadJSON(r, today) })
		slips = append(slips, late...)
	}
	e := entries{l, map[int][]place.Problem{}}
	for _, p := range slips {
		line := lineOf(p, table)
		if p.Code == workload.CodeTooMany {
			return e, &Refusal{[]place.Problem{p}}
		}
		if line < 1 || table && line == 1 || p.Code == "not-json" {
			return e, &Refusal{slips}
		}
		if !table {
			p.Line = 0 // the pointer says it
		}
		if one {
			p.Pointer = strings.TrimPrefix(p.Pointer, "/0")
		}
		e.slips[line] = append(e.slips[line], p)
	}
	return e, nil
}

// lineOf is the line a slip belongs to, 0 for the whole.
func lineOf(p place.Problem, table bool) int {
	if table {
		return p.Line
	}
	var i int
	if n, _ := fmt.Sscanf(p.Pointer, "/%d", &i); n == 1 {
		return i + 1
	}
	return 0
}

// addThrows settles line by line what is kept.
func (c *Clubs) addThrows(ctx context.Context, tx store.Tx, a Actor, ref string, read entries, today civil.Date) (lines []ThrowLine, err error) {
	if err := tx.TakeTurn(ctx); err != nil { // two who send the same at once count it once
		return nil, err
	}
	known, err := told(ctx, tx, ref)
	if err != nil {
		return nil, err
	}
	var fresh []store.Throw
	for _, e := range read.ledger.Entries {
		line := ThrowLine{Line: e.Line, Status: Refused, Slips: read.slips[e.Line]}
		delete(read.slips, e.Line)
		if e.Date.IsZero() { // pain with a date that cannot be read
			e.Date = today
		}
		t, ok := throwOf(ref, e)
		if !ok {
			line.Slips = append(line.Slips, place.Problem{Code: "bad-count", Found: e.Count.String() + " innings", Wanted: "innings in outs: 4, 4.1 (one out into the fifth) or 4 1/3"})
		}
		if slip := notYours(a, t); slip != nil {
			line.Slips = append(line.Slips, *slip)
		} else if len(line.Slips) == 0 || hurts(t) {
			if known, ok = take(known, t); ok {
				line.Status = Same
			} else {
				t.ID, t.Who, line.Status = store.NewID(), a.KeyID, Stored
				line.ID, fresh = t.ID, append(fresh, t)
			}
		}
		lines = append(lines, line)
	}
	for n, slips := range read.slips {
		lines = append(lines, ThrowLine{Line: n, Status: Refused, Slips: slips})
	}
	slices.SortStableFunc(lines, func(x, y ThrowLine) int { return x.Line - y.Line })
	return lines, keepThrows(ctx, tx, a, fresh)
}

// told are the entries that a file sent again may hold: those that count, then
// those that were corrected since. What was withdrawn may be meant anew, and what
// hurts is never passed over.
func told(ctx context.Context, tx store.Tx, ref string) (list []store.Throw, err error) {
	all, err := tx.Throws(ctx, ref, "", "", true)
	by := make(map[string]store.Throw, len(all))
	for _, t := range all {
		if by[t.ID] = t; t.SupersededBy == nil {
			list = append(list, t)
		}
	}
	for _, t := range all {
		last := t
		for last.SupersededBy != nil {
			last = by[*last.SupersededBy]
		}
		if t.SupersededBy != nil && last.Kind != kindWithdrawn && !hurts(t) {
			list = append(list, t)
		}
	}
	return list, err
}

// notYours refuses a clearance by anyone but an admin.
func notYours(a Actor, t store.Throw) *place.Problem {
	if t.Kind == string(workload.Cleared) && !a.Admin {
		return &place.Problem{Code: "role-too-small", Found: "a clearance", Wanted: "a key of role admin to enter it", Hint: "the note says in which role somebody cleared the player"}
	}
	return nil
}

// take finds an entry that says the same and takes it off the list, so that
// each stands for one.
func take(known []store.Throw, t store.Throw) ([]store.Throw, bool) {
	i := slices.IndexFunc(known, func(k store.Throw) bool {
		return k.Date == t.Date && k.Kind == t.Kind && same(k.Count, t.Count) && same(k.CountAtLastBatter, t.CountAtLastBatter) &&
			k.Game == t.Game && k.Pain == t.Pain && k.Note == t.Note && k.Where == t.Where && k.Source == t.Source
	})
	if i < 0 {
		return known, false
	}
	return slices.Delete(slices.Clone(known), i, i+1), true
}

// keepThrows saves entries and logs that there are some, never what they say.
func keepThrows(ctx context.Context, tx store.Tx, a Actor, throws []store.Throw) error {
	if len(throws) == 0 {
		return nil
	}
	if err := tx.AddThrows(ctx, throws); err != nil {
		return err
	}
	changes := make([]store.Change, len(throws))
	for i, t := range throws {
		changes[i] = store.Change{Who: a.KeyID, What: "throw.added", Entity: "throw/" + t.ID}
		if t.Supersedes != nil {
			changes[i].What = "throw.corrected"
		}
	}
	return tx.AppendChanges(ctx, changes)
}
