package club

import (
	"context"
	"fmt"
	"slices"
	"strconv"

	"rootcue/internal/store"
)

// A BibChange says that the player who wears one bib wears another.
type BibChange struct {
	From string `json:"from" doc:"The bib as it stands on the roster"`
	To   string `json:"to" doc:"The bib the player wears"`
}

// mostMoved bounds the corrections that late grades are told of.
const mostMoved = 200

// CorrectBibs gives players of an open tryout other bibs, all at once, so that
// two can be swapped. Grades, recusals and decisions follow the player, and the
// log says so.
func (c *Clubs) CorrectBibs(ctx context.Context, a Actor, id string, changes []BibChange) error {
	_, err := c.changeTryout(ctx, a, id, func(tx store.Tx, t *Tryout) error {
		entries, err := tx.Roster(ctx, id)
		if err != nil {
			return err
		}
		to, err := bibMoves(entries, changes)
		if err != nil {
			return err
		}
		if err := tx.MoveBibs(ctx, id, to); err != nil {
			return err
		}
		var log []store.Change
		for _, e := range entries {
			now, moves := to[e.Bib]
			if !moves {
				continue
			}
			change, err := t.ofPlayer(ctx, tx, a, "tryout.bib-corrected", e.PlayerRef, map[string]string{"from": e.Bib, "to": now})
			if err != nil {
				return err
			}
			log = append(log, change)
			t.Moved = append(t.Moved, BibChange{e.Bib, now})
		}
		t.reassign(to)
		t.Moved = t.Moved[max(0, len(t.Moved)-mostMoved):]
		return tx.AppendChanges(ctx, log)
	})
	return err
}

// bibMoves checks corrections against the roster.
func bibMoves(entries []store.RosterEntry, changes []BibChange) (map[string]string, error) {
	var wrong slips
	to, taken := map[string]string{}, map[string]bool{}
	for i, ch := range changes {
		at := fmt.Sprintf("/changes/%d", i)
		if !slices.ContainsFunc(entries, func(e store.RosterEntry) bool { return e.Bib == ch.From }) {
			wrong.add("unknown-bib", at+"/from", found(ch.From, "bib"), "a bib of the roster", "")
		}
		if _, twice := to[ch.From]; twice {
			wrong.add("repeated", at+"/from", strconv.Quote(ch.From)+" twice", "each bib once", "")
		}
		if badName(ch.To, mostBib) {
			wrong.add("bad-bib", at+"/to", found(ch.To, "bib"), nameWanted(mostBib), "")
		}
		if taken[ch.To] {
			wrong.add("bib-twice", at+"/to", strconv.Quote(ch.To)+" for two players", "a bib for each player", "")
		}
		to[ch.From], taken[ch.To] = ch.To, true
	}
	for _, e := range entries {
		if _, moves := to[e.Bib]; !moves && taken[e.Bib] {
			i := slices.IndexFunc(changes, func(ch BibChange) bool { return ch.To == e.Bib })
			wrong.add("bib-twice", fmt.Sprintf("/changes/%d/to", i), "bib "+e.Bib+", which another player wears", "a bib that is free", "name the other player's new bib beside it")
		}
	}
	if len(wrong) > 0 {
		return nil, &Refusal{wrong}
	}
	return to, nil
}

// reassign keeps the evaluators of players whose bibs were corrected.
func (t *Tryout) reassign(to map[string]string) {
	for i := range t.Settings.Assignments {
		bibs := t.Settings.Assignments[i].Bibs
		for j, b := range bibs {
			if now, moves := to[b]; moves {
				bibs[j] = now
			}
		}
	}
}

// forgetBibs takes a player who is to be erased out of what tryouts say by bib,
// closed ones too, and notes that their standings rest on fewer grades now.
func forgetBibs(ctx context.Context, tx store.Tx, ref string) error {
	entries, err := tx.RosterOf(ctx, ref)
	if err != nil {
		return err
	}
	for _, e := range entries {
		t, err := tryout(ctx, tx, e.TryoutID)
		if err != nil {
			return err
		}
		t.Erased++
		t.Moved = slices.DeleteFunc(t.Moved, func(ch BibChange) bool { return ch.From == e.Bib || ch.To == e.Bib })
		for i := range t.Settings.Assignments {
			as := &t.Settings.Assignments[i]
			as.Bibs = slices.DeleteFunc(as.Bibs, func(b string) bool { return b == e.Bib })
		}
		if err := tx.PutTryout(ctx, t.row()); err != nil {
			return err
		}
	}
	return nil
}
