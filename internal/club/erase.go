package club

import (
	"context"
	"errors"
	"fmt"
	"strconv"

	"rootcue/engine/civil"
	"rootcue/internal/store"
)

// ErrHeld: the law makes the club keep a player's data.
var ErrHeld = errors.New("under legal hold")

// Erase erases everything held on a player; the proof in the log says so
// without saying of whom. A player under legal hold is kept: ErrHeld.
func (c *Clubs) Erase(ctx context.Context, a Actor, ref string) (e store.Erasure, err error) {
	err = c.write(ctx, a, func(tx store.Tx) error {
		e, err = erase(ctx, tx, a, ref)
		return err
	})
	return e, err
}

// EraseLater asks for a player to be erased; it gives the job's id.
func (c *Clubs) EraseLater(ctx context.Context, a Actor, ref string) (job string, err error) {
	if c.Jobs == nil {
		return "", ErrNoJobs
	}
	err = c.write(ctx, a, func(tx store.Tx) error {
		p, err := tx.Player(ctx, ref)
		if err != nil {
			return err
		}
		if p.LegalHold {
			return ErrHeld
		}
		job, err = c.Jobs.Erase(ctx, tx, p.ID, a.KeyID)
		return err
	})
	return job, err
}

// EraseByID erases a player known by the surrogate. One who is not there any
// more, or is held since, is no failure: the erasure is empty.
func (c *Clubs) EraseByID(ctx context.Context, a Actor, id string) (e store.Erasure, err error) {
	err = c.write(ctx, a, func(tx store.Tx) error {
		p, err := tx.PlayerByID(ctx, id)
		if err != nil {
			return err
		}
		e, err = erase(ctx, tx, a, p.Ref)
		return err
	})
	if errors.Is(err, store.ErrNotFound) || errors.Is(err, ErrHeld) {
		return store.Erasure{}, nil
	}
	return e, err
}

func erase(ctx context.Context, tx store.Tx, a Actor, ref string) (store.Erasure, error) {
	p, err := tx.Player(ctx, ref)
	if err != nil {
		return store.Erasure{}, err
	}
	if p.LegalHold {
		return store.Erasure{}, ErrHeld
	}
	if err := forgetBibs(ctx, tx, ref); err != nil {
		return store.Erasure{}, err
	}
	return tx.ErasePlayer(ctx, ref, a.KeyID)
}

// Hold says that the law makes the club keep a player's data, and why, or takes
// that back.
func (c *Clubs) Hold(ctx context.Context, a Actor, ref string, held bool, why string) error {
	if held && why == "" || len(why) > 500 {
		return refuse("missing-value", "/why", strconv.Quote(why), "the law or order that asks for it, at most 500 bytes", "")
	}
	return c.write(ctx, a, func(tx store.Tx) error {
		p, err := tx.Player(ctx, ref)
		if err != nil {
			return err
		}
		if p.LegalHold, p.HoldWhy = held, why; !held {
			p.HoldWhy = ""
		}
		if p, err = tx.PutPlayer(ctx, p); err != nil {
			return err
		}
		return logged(ctx, tx, a.KeyID, "player.hold", "player/"+p.ID, map[string]any{"held": held})
	})
}

// retainPart is how many observations one transaction forgets.
const retainPart = 500

// keepEnded is how many days ended deliveries and links stay to be looked at.
const keepEnded = 30

// RetainAll deletes in every club what has outlived its time.
func (c *Clubs) RetainAll(ctx context.Context) error {
	clubs, err := c.Store.Clubs(ctx)
	if err != nil {
		return err
	}
	var failed error
	for _, one := range clubs {
		if err := c.retain(ctx, one.ID); err != nil {
			failed = errors.Join(failed, fmt.Errorf("club %s: %w", one.ID, err))
		}
	}
	return failed
}

func (c *Clubs) retain(ctx context.Context, club string) error {
	var before string
	err := c.Store.InTx(ctx, club, func(tx store.Tx) error {
		s, err := settingsOf(ctx, tx)
		if err != nil {
			return err
		}
		today, err := s.today(tx)
		if err != nil {
			return err
		}
		if s.KeepMonths > 0 {
			before = monthsBefore(today, s.KeepMonths).String()
		}
		_, err = tx.Sweep(ctx, today.AddDays(-keepEnded).String())
		return err
	})
	for more := before != ""; err == nil && more; {
		err = c.Store.InTx(ctx, club, func(tx store.Tx) error {
			gone, err := tx.ForgetBefore(ctx, before, retainPart)
			if more = len(gone) > 0; err != nil || !more {
				return err
			}
			return logged(ctx, tx, system, "club.forgot", "club/"+club, map[string]any{"before": before, "rows": gone})
		})
	}
	return err
}

// monthsBefore is the same day some months earlier, or the month's last.
func monthsBefore(d civil.Date, months int) civil.Date {
	n := d.Year*12 + d.Month - 1 - months
	d.Year, d.Month = n/12, n%12+1
	for !d.Valid() {
		d.Day--
	}
	return d
}
