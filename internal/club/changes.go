package club

import (
	"context"
	"errors"
	"strconv"

	"rootcue/internal/store"
)

// Changes lists the log of who changed what, newest first.
func (c *Clubs) Changes(ctx context.Context, a Actor, cursor string, limit int) (l List[store.Change], err error) {
	const list = "changes"
	err = c.view(ctx, a, func(tx store.Tx) error {
		own, err := tx.Club(ctx)
		if err != nil {
			return err
		}
		position, err := unseal(own, list, cursor)
		if err != nil {
			return err
		}
		before, _ := strconv.ParseInt(position, 10, 64) // sealed by us; "" is 0, the end
		l.Items, err = tx.Changes(ctx, before, limit+1)
		if len(l.Items) > limit {
			l.Items = l.Items[:limit]
			l.Next = seal(own, list, strconv.FormatInt(l.Items[limit-1].Seq, 10))
		}
		return err
	})
	return l, err
}

// Verified is the state of one club's log.
type Verified struct {
	Club    string
	Entries int64
	Broken  error // store.ErrBrokenLog with the place, nil when the chain holds
}

// Verify recomputes the chain of every club's log.
func (c *Clubs) Verify(ctx context.Context) (list []Verified, err error) {
	clubs, err := c.Store.Clubs(ctx)
	if err != nil {
		return nil, err
	}
	for _, own := range clubs {
		v := Verified{Club: own.Name}
		err := c.Store.View(ctx, own.ID, func(tx store.Tx) (err error) {
			v.Entries, err = tx.VerifyChanges(ctx)
			return err
		})
		if errors.Is(err, store.ErrBrokenLog) {
			v.Broken, err = err, nil
		}
		if err != nil {
			return nil, err
		}
		list = append(list, v)
	}
	return list, nil
}
