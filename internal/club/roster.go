package club

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"rootcue/engine/place"
	"rootcue/internal/store"
)

// A RosterLine is the answer to one line of a roster.
type RosterLine struct {
	Line   int
	Status string // Stored, Same or Refused
	Slips  []place.Problem
}

// A Rostered player is on the roster, with the largest look that an evaluator
// has given; 0 without one.
type Rostered struct {
	store.RosterEntry
	LastLook int
}

// Roster lists who has which bib, by bib, withdrawn players too; and the looks
// given by one evaluator, unless that is "".
func (c *Clubs) Roster(ctx context.Context, a Actor, id, evaluator string) (list []Rostered, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		if _, err := tx.Tryout(ctx, id); err != nil {
			return err
		}
		entries, err := tx.Roster(ctx, id)
		if err != nil {
			return err
		}
		looks := map[string]int{}
		if evaluator != "" {
			if looks, err = tx.LastLooks(ctx, id, evaluator); err != nil {
				return err
			}
		}
		for _, e := range entries {
			list = append(list, Rostered{e, looks[e.Bib]})
		}
		slices.SortFunc(list, func(x, y Rostered) int { return byBib(x.Bib, y.Bib) })
		return nil
	})
	return list, err
}

// byBib orders whole numbers by value, before everything else.
func byBib(a, b string) int {
	x, errX := strconv.ParseUint(a, 10, 63)
	y, errY := strconv.ParseUint(b, 10, 63)
	switch {
	case errX == nil && errY == nil && x != y:
		return cmpNumber(x, y)
	case errX == nil && errY != nil:
		return -1
	case errX != nil && errY == nil:
		return 1
	}
	return strings.Compare(a, b)
}

func cmpNumber(x, y uint64) int {
	if x < y {
		return -1
	}
	return 1
}

// AddRoster puts players on the roster of an open tryout, early or late, from a
// list of objects in JSON or a table in CSV with the columns bib and player.
// Good lines are kept beside bad ones.
func (c *Clubs) AddRoster(ctx context.Context, a Actor, id string, body []byte, table bool) (lines []RosterLine, err error) {
	read, err := readRoster(body, table)
	if err != nil {
		return nil, err
	}
	err = c.write(ctx, a, func(tx store.Tx) error {
		if err := tx.TakeTurn(ctx); err != nil {
			return err
		}
		t, err := openTryout(ctx, tx, id)
		if err != nil {
			return err
		}
		there, err := tx.Roster(ctx, id)
		if err != nil {
			return err
		}
		var fresh []store.RosterEntry
		lines = lines[:0]
		for _, l := range read {
			line := RosterLine{l.line, Refused, l.slips}
			if len(l.slips) == 0 {
				line.Status, line.Slips = enrol(&there, &fresh, store.RosterEntry{TryoutID: id, Bib: l.bib, PlayerRef: l.player, At: tx.Now()}, l.locate)
			}
			lines = append(lines, line)
		}
		return t.enrolled(ctx, tx, a, fresh)
	})
	return lines, err
}

// enrol decides on one entry and adds it to both lists if it is new.
func enrol(there, fresh *[]store.RosterEntry, e store.RosterEntry, locate func(column string, slip place.Problem) place.Problem) (string, []place.Problem) {
	for _, was := range *there {
		switch {
		case was.Bib == e.Bib && was.PlayerRef == e.PlayerRef:
			return Same, nil
		case was.Bib == e.Bib:
			return Refused, []place.Problem{locate("bib", place.Problem{Code: "bib-twice", Found: "bib " + e.Bib + ", which another player wears", Wanted: "a bib for each player", Hint: "correct a bib with /bibs"})}
		case was.PlayerRef == e.PlayerRef:
			return Refused, []place.Problem{locate("player", place.Problem{Code: "player-twice", Found: fmt.Sprintf("player %s, who wears bib %s already", e.PlayerRef, was.Bib), Wanted: "each player once", Hint: "correct a bib with /bibs"})}
		}
	}
	if len(*there) >= mostPlayers {
		return Refused, []place.Problem{locate("bib", place.Problem{Code: "too-many", Found: "one player more", Wanted: fmt.Sprintf("at most %d", mostPlayers), Hint: "split the tryout, by age group for instance"})}
	}
	*there, *fresh = append(*there, e), append(*fresh, e)
	return Stored, nil
}

// enrolled keeps new entries and logs them, by the players' surrogates.
func (t *Tryout) enrolled(ctx context.Context, tx store.Tx, a Actor, fresh []store.RosterEntry) error {
	if len(fresh) == 0 {
		return nil
	}
	refs := make([]string, len(fresh))
	for i, e := range fresh {
		refs[i] = e.PlayerRef
	}
	if err := tx.EnsurePlayers(ctx, refs...); err != nil {
		return err
	}
	if err := tx.PutRoster(ctx, fresh); err != nil {
		return err
	}
	var changes []store.Change
	for _, ref := range refs {
		change, err := t.ofPlayer(ctx, tx, a, "tryout.enrolled", ref, nil)
		if err != nil {
			return err
		}
		changes = append(changes, change)
	}
	return tx.AppendChanges(ctx, changes)
}

// ofPlayer is an entry of the log about a player at the tryout, so that the
// player's export has it too.
func (t *Tryout) ofPlayer(ctx context.Context, tx store.Tx, a Actor, what, ref string, more map[string]string) (store.Change, error) {
	p, err := tx.Player(ctx, ref)
	if err != nil {
		return store.Change{}, err
	}
	detail := map[string]string{"tryout": t.ID}
	maps.Copy(detail, more)
	b, err := json.Marshal(detail)
	return store.Change{Who: a.KeyID, What: what, Entity: "player/" + p.ID, Detail: b}, err
}

// logPlayer logs one such entry.
func (t *Tryout) logPlayer(ctx context.Context, tx store.Tx, a Actor, what, ref string, more map[string]string) error {
	change, err := t.ofPlayer(ctx, tx, a, what, ref, more)
	if err != nil {
		return err
	}
	return tx.AppendChanges(ctx, []store.Change{change})
}

// Withdraw takes a player out of an open tryout, or in again. What was graded
// is kept and left out of the standing.
func (c *Clubs) Withdraw(ctx context.Context, a Actor, id, bib string, withdrawn bool) (e store.RosterEntry, err error) {
	_, err = c.changeTryout(ctx, a, id, func(tx store.Tx, t *Tryout) error {
		if e, err = entryOfBib(ctx, tx, id, bib); err != nil {
			return err
		}
		if (e.WithdrawnAt != nil) == withdrawn {
			return nil
		}
		what := "tryout.returned"
		if e.WithdrawnAt = nil; withdrawn {
			e.WithdrawnAt, what = tx.Now().Ptr(), "tryout.withdrawn"
		}
		if err := tx.PutRoster(ctx, []store.RosterEntry{e}); err != nil {
			return err
		}
		return t.logPlayer(ctx, tx, a, what, e.PlayerRef, nil)
	})
	return e, err
}

// entryOfBib finds who wears a bib, else store.ErrNotFound.
func entryOfBib(ctx context.Context, tx store.Tx, id, bib string) (store.RosterEntry, error) {
	entries, err := tx.Roster(ctx, id)
	if err != nil {
		return store.RosterEntry{}, err
	}
	i := slices.IndexFunc(entries, func(e store.RosterEntry) bool { return e.Bib == bib })
	if i < 0 {
		return store.RosterEntry{}, fmt.Errorf("%w: bib %s on the roster", store.ErrNotFound, bib)
	}
	return entries[i], nil
}
