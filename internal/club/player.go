package club

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"time"

	"rootcue/internal/store"
)

// Player gives a player as the actor may see them.
func (c *Clubs) Player(ctx context.Context, a Actor, ref string) (p store.Player, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		p, err = tx.Player(ctx, ref)
		return err
	})
	return shownPlayer(a, p), err
}

// Players lists players by reference; a group of "" takes all.
func (c *Clubs) Players(ctx context.Context, a Actor, group, cursor string, limit int) (l List[store.Player], err error) {
	list := fmt.Sprintf("players %q", group)
	err = c.view(ctx, a, func(tx store.Tx) error {
		own, err := tx.Club(ctx)
		if err != nil {
			return err
		}
		after, err := unseal(own, list, cursor)
		if err != nil {
			return err
		}
		l.Items, err = tx.Players(ctx, group, after, limit+1)
		if len(l.Items) > limit {
			l.Items = l.Items[:limit]
			l.Next = seal(own, list, l.Items[limit-1].Ref)
		}
		return err
	})
	for i := range l.Items {
		l.Items[i] = shownPlayer(a, l.Items[i])
	}
	return l, err
}

// shownPlayer takes out what a limited actor does not see.
func shownPlayer(a Actor, p store.Player) store.Player {
	if a.Limited {
		p.StatureCM, p.StatureOn, p.ConsentScope, p.HoldWhy = nil, nil, "", ""
	}
	return p
}

// PutPlayer makes or replaces a player. base is when the caller last saw it
// changed; nil asks for a player who is not there yet. made tells which it was.
// Another state than the base is ErrChanged.
func (c *Clubs) PutPlayer(ctx context.Context, a Actor, p store.Player, base func(store.Player, bool) bool) (kept store.Player, made bool, err error) {
	if err := checkPlayer(p); err != nil {
		return p, false, err
	}
	err = c.write(ctx, a, func(tx store.Tx) error {
		if err := tx.TakeTurn(ctx); err != nil {
			return err
		}
		now, err := tx.Player(ctx, p.Ref)
		made = errors.Is(err, store.ErrNotFound)
		if err != nil && !made {
			return err
		}
		if !base(now, !made) {
			return ErrChanged
		}
		if p.Age != nil && p.AgeOn == nil {
			today, err := todayOf(ctx, tx)
			if err != nil {
				return err
			}
			p.AgeOn = &today
		}
		p.LegalHold, p.HoldWhy = now.LegalHold, now.HoldWhy // set elsewhere
		if kept, err = tx.PutPlayer(ctx, p); err != nil {
			return err
		}
		what := "player.changed"
		if made {
			what = "player.made"
		}
		return logged(ctx, tx, a.KeyID, what, "player/"+kept.ID, map[string]any{"fields": changedFields(now, kept)})
	})
	return kept, made, err
}

// changedFields names what differs; the log holds no value of a child.
func changedFields(was, is store.Player) []string {
	list := []string{}
	for _, f := range []struct {
		name string
		same bool
	}{
		{"born", same(was.Born, is.Born)}, {"age", same(was.Age, is.Age)}, {"throws", same(was.Throws, is.Throws)},
		{"stature_cm", same(was.StatureCM, is.StatureCM)}, {"stature_on", same(was.StatureOn, is.StatureOn)},
		{"groups", slices.Equal(was.Groups, is.Groups)}, {"consent", same(was.ConsentOn, is.ConsentOn) && was.ConsentScope == is.ConsentScope},
	} {
		if !f.same {
			list = append(list, f.name)
		}
	}
	return list
}

func same[T comparable](a, b *T) bool { return a == b || a != nil && b != nil && *a == *b }

// checkPlayer refuses what no database keeps or no rubric could use.
func checkPlayer(p store.Player) error {
	for _, d := range []struct {
		pointer string
		date    *string
		layout  string
		wanted  string
	}{
		{"/born", p.Born, "2006-01", "the month of birth as YYYY-MM"}, {"/stature_on", p.StatureOn, time.DateOnly, "a date such as 2026-05-09"},
		{"/age_on", p.AgeOn, time.DateOnly, "a date such as 2026-05-09"}, {"/consent_on", p.ConsentOn, time.DateOnly, "a date such as 2026-05-09"},
	} {
		if d.date == nil {
			continue
		}
		if t, err := time.Parse(d.layout, *d.date); err != nil || t.Year() == 0 {
			return refuse("bad-date", d.pointer, strconv.Quote(*d.date), d.wanted, "")
		}
	}
	for i, g := range p.Groups {
		if slices.Contains(p.Groups[:i], g) {
			return refuse("repeated-value", "/groups/"+strconv.Itoa(i), strconv.Quote(g)+" once more", "each group once", "")
		}
	}
	return nil
}
