package club

import (
	"context"

	"rootcue/internal/store"
)

// Recusals lists who must not grade whom, by bib.
func (c *Clubs) Recusals(ctx context.Context, a Actor, id string) (list []store.Recusal, err error) {
	err = c.view(ctx, a, func(tx store.Tx) error {
		if _, err := tx.Tryout(ctx, id); err != nil {
			return err
		}
		list, err = tx.Recusals(ctx, id)
		return err
	})
	return list, err
}

// PutRecusal keeps an evaluator of an open tryout from grading a player, such
// as a child of the family. Grades given already are kept and left out of the
// standing. Why is not logged.
func (c *Clubs) PutRecusal(ctx context.Context, a Actor, id, evaluator, bib, why string) (r store.Recusal, err error) {
	_, err = c.changeTryout(ctx, a, id, func(tx store.Tx, t *Tryout) error {
		if !t.onPanel(evaluator) {
			return refuse("unknown-evaluator", "", found(evaluator, "evaluator"), oneOf(t.Settings.Panel), didYouMean(evaluator, t.Settings.Panel))
		}
		e, err := entryOfBib(ctx, tx, id, bib)
		if err != nil {
			return err
		}
		r = store.Recusal{TryoutID: id, Evaluator: evaluator, Bib: bib, Why: why, Who: a.KeyID, At: tx.Now()}
		if err := tx.PutRecusal(ctx, r); err != nil {
			return err
		}
		return t.logPlayer(ctx, tx, a, "tryout.recused", e.PlayerRef, map[string]string{"evaluator": evaluator})
	})
	return r, err
}

// DropRecusal takes a recusal of an open tryout back, else store.ErrNotFound.
func (c *Clubs) DropRecusal(ctx context.Context, a Actor, id, evaluator, bib string) error {
	_, err := c.changeTryout(ctx, a, id, func(tx store.Tx, t *Tryout) error {
		e, err := entryOfBib(ctx, tx, id, bib)
		if err != nil {
			return err
		}
		if err := tx.DropRecusal(ctx, id, evaluator, bib); err != nil {
			return err
		}
		return t.logPlayer(ctx, tx, a, "tryout.recusal-dropped", e.PlayerRef, map[string]string{"evaluator": evaluator})
	})
	return err
}
