package club

import (
	"context"
	"fmt"

	"rootcue/internal/store"
)

// A List is a page of documents as the actor may see them, and the cursor of
// the next page, "" at the end.
type List[T any] struct {
	Items []T
	Next  string
}

// Assessments lists assessments, newest first by date.
func (c *Clubs) Assessments(ctx context.Context, a Actor, f store.AssessmentFilter, cursor string, limit int) (l List[[]byte], err error) {
	list := fmt.Sprintf("assessments %+v", f)
	err = c.view(ctx, a, func(tx store.Tx) error {
		own, err := tx.Club(ctx)
		if err != nil {
			return err
		}
		position, err := unseal(own, list, cursor)
		if err != nil {
			return err
		}
		after, err := store.ParseCursor(position)
		if err != nil {
			return err
		}
		rows, err := tx.Assessments(ctx, f, store.Page{After: after, Limit: limit + 1})
		if err != nil {
			return err
		}
		if len(rows) > limit {
			rows = rows[:limit]
			l.Next = seal(own, list, rows[limit-1].Cursor().String())
		}
		g, err := c.newShownGate(ctx, tx)
		if err != nil {
			return err
		}
		for _, row := range rows {
			b, err := c.gated(ctx, tx, g, row)
			if err != nil {
				return err
			}
			if b, err = shown(a, b); err != nil {
				return err
			}
			l.Items = append(l.Items, b)
		}
		return nil
	})
	return l, err
}

// Assessment gives one assessment as the actor may see it.
func (c *Clubs) Assessment(ctx context.Context, a Actor, id string) (body []byte, row store.Assessment, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		if row, err = tx.Assessment(ctx, id); err != nil {
			return err
		}
		g, err := c.newShownGate(ctx, tx)
		if err != nil {
			return err
		}
		if body, err = c.gated(ctx, tx, g, row); err != nil {
			return err
		}
		body, err = shown(a, body)
		return err
	})
	return body, row, err
}

// An Observed is a stored observation with all assessments made of it, newest
// first.
type Observed struct {
	store.Observation
	Assessments []store.Assessment
}

// Observation gives a stored observation and its assessments. Role read does
// not see it: it holds the stature.
func (c *Clubs) Observation(ctx context.Context, a Actor, id string) (o Observed, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		if o.Observation, err = tx.Observation(ctx, id); err != nil {
			return err
		}
		o.Assessments, err = tx.Assessments(ctx, store.AssessmentFilter{ObservationID: id, Old: true}, store.Page{})
		return err
	})
	return o, err
}
