package club

import (
	"context"

	"rootcue/engine/panel"
)

// Training takes a tryout as a training set: how each evaluator's grades compare
// with the instructor's, item by item, and on which bibs they differ. The
// instructor must be on the panel.
func (c *Clubs) Training(ctx context.Context, a Actor, id, instructor string) ([]panel.Trained, error) {
	e, err := c.Event(ctx, a, id)
	if err != nil {
		return nil, err
	}
	if !e.onPanel(instructor) {
		return nil, refuse("unknown-evaluator", "", found(instructor, "instructor"), oneOf(e.Settings.Panel), didYouMean(instructor, e.Settings.Panel))
	}
	return panel.Training(e.counted, instructor), nil
}
