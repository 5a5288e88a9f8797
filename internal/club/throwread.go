package club

import (
	"context"
	"errors"
	"slices"

	"rootcue/engine/civil"
	"rootcue/engine/place"
	"rootcue/engine/workload"
	"rootcue/internal/store"
)

// Throws lists a player's ledger from one date to another, both included, ""
// for open. Who may not see health entries gets the others without notes; who
// may is logged when there are any.
func (c *Clubs) Throws(ctx context.Context, a Actor, ref, from, to string, all bool) (throws []store.Throw, err error) {
	read := func(tx store.Tx) error {
		if _, err := tx.Player(ctx, ref); err != nil {
			return err
		}
		throws, err = tx.Throws(ctx, ref, from, to, all)
		if !all {
			throws = slices.DeleteFunc(throws, func(t store.Throw) bool { return t.Kind == kindWithdrawn })
		}
		return err
	}
	if !a.Health {
		err := c.view(ctx, a, func(tx store.Tx) error {
			if err := read(tx); err != nil {
				return err
			}
			ever, err := tx.Throws(ctx, ref, "", "", true)
			throws = withoutHealth(throws, ever)
			return err
		})
		return throws, err
	}
	return throws, c.write(ctx, a, func(tx store.Tx) error {
		if err := read(tx); err != nil {
			return err
		}
		return noteHealthRead(ctx, tx, a, ref, throws)
	})
}

// withoutHealth leaves out who was hurt, tired or cleared, and every free text.
// Of all that was ever entered, what took the place of such an entry, or gave its
// own to one, does not tell of it.
func withoutHealth(throws, ever []store.Throw) []store.Throw {
	hidden := map[string]bool{}
	for _, t := range ever {
		hidden[t.ID] = health(t.Kind)
	}
	kept := []store.Throw{}
	for _, t := range throws {
		over := hidden[orEmpty(t.Supersedes)]
		if health(t.Kind) || over && t.Kind == kindWithdrawn {
			continue
		}
		if t.Pain, t.Note = "", ""; over {
			t.Supersedes = nil
		}
		if hidden[orEmpty(t.SupersededBy)] {
			t.SupersededBy = nil
		}
		kept = append(kept, t)
	}
	return kept
}

// noteHealthRead logs that somebody saw health entries of a player.
func noteHealthRead(ctx context.Context, tx store.Tx, a Actor, ref string, throws []store.Throw) error {
	if !slices.ContainsFunc(throws, func(t store.Throw) bool { return health(t.Kind) || t.Pain != "" || t.Note != "" }) {
		return nil
	}
	p, err := tx.Player(ctx, ref)
	if err != nil {
		return err
	}
	return logged(ctx, tx, a.KeyID, "health.read", "player/"+p.ID, struct{}{})
}

// CorrectThrow replaces an entry by another, which is kept beside it. What was
// counted from an observation is corrected there. Only an admin takes back
// pain, a blow or a clearance.
func (c *Clubs) CorrectThrow(ctx context.Context, a Actor, ref, id string, body []byte) (line ThrowLine, err error) {
	err = c.write(ctx, a, func(tx store.Tx) error {
		s, err := settingsOf(ctx, tx)
		if err != nil {
			return err
		}
		today, err := s.today(tx)
		if err != nil {
			return err
		}
		t, err := readOne(ref, body, today)
		if err != nil {
			return err
		}
		if slip := notYours(a, t); slip != nil {
			return ErrNotAllowed
		}
		line, err = c.supersede(ctx, tx, a, id, t)
		return err
	})
	return line, err
}

// WithdrawThrow takes an entry back; it is kept, and counts for nothing.
func (c *Clubs) WithdrawThrow(ctx context.Context, a Actor, ref, id string) error {
	return c.write(ctx, a, func(tx store.Tx) error {
		_, err := c.supersede(ctx, tx, a, id, store.Throw{PlayerRef: ref, Kind: kindWithdrawn})
		return err
	})
}

// readOne reads one entry that must be faultless.
func readOne(ref string, body []byte, today civil.Date) (t store.Throw, err error) {
	read, err := readEntries(body, false, today)
	if err != nil {
		return t, err
	}
	var slips []place.Problem
	for _, more := range read.slips {
		slips = append(slips, more...)
	}
	if len(slips) > 0 {
		return t, &Refusal{slips}
	}
	if len(read.ledger.Entries) != 1 {
		return t, refuse("wrong-type", "", "a list", "one entry, an object with date, kind and count", "")
	}
	t, ok := throwOf(ref, read.ledger.Entries[0])
	if !ok {
		return t, refuse("bad-count", "/count", "innings that are no whole number of outs", "4, 4.1 (one out into the fifth) or 4 1/3", "")
	}
	return t, nil
}

// ErrAssessed: the entry was counted from an observation.
var ErrAssessed = errors.New("counted from an observation")

func (c *Clubs) supersede(ctx context.Context, tx store.Tx, a Actor, id string, t store.Throw) (line ThrowLine, err error) {
	if err := tx.TakeTurn(ctx); err != nil {
		return line, err
	}
	was, err := tx.Throw(ctx, id)
	switch {
	case err != nil:
		return line, err
	case was.PlayerRef != t.PlayerRef || was.Kind == kindWithdrawn:
		return line, store.ErrNotFound
	case was.Source == sourceAssessed:
		return line, ErrAssessed
	case !a.Health && health(was.Kind) && !hurts(was):
		return line, ErrNotAllowed
	case !a.Admin && (was.Kind == string(workload.Cleared) || hurts(was) && (!hurts(t) || t.Date > was.Date)):
		return line, ErrNotAllowed
	}
	if t.Kind == kindWithdrawn {
		t.Date = was.Date
	}
	t.ID, t.Who, t.Supersedes = store.NewID(), a.KeyID, &was.ID
	line = ThrowLine{Line: 1, Status: Stored, ID: t.ID}
	return line, keepThrows(ctx, tx, a, []store.Throw{t})
}
