package sqlstore

import (
	"context"
	"fmt"
	"reflect"
	"slices"

	"rootcue/internal/store"
)

// jobsTable is what a backup calls a club's jobs. No table has that name: the
// queue keeps them in its own way.
const jobsTable = "jobs"

// jobsOf are a club's jobs that have not ended.
func jobsOf(work store.Work) archived {
	return archived{jobsTable, shapeOf(reflect.TypeFor[store.Job]()), func(ctx context.Context, t *tx, do func([]any) error) error {
		if work == nil {
			return nil
		}
		jobs, err := work.Unfinished(ctx, t)
		for _, j := range jobs {
			if err := do(fields(reflect.ValueOf(j))); err != nil {
				return err
			}
		}
		return err
	}}
}

// resume hands the jobs of a backup to the queue.
func (r *restorer) resume(ctx context.Context, t *tx, rows [][]any) error {
	for _, row := range rows {
		var values [3]string
		for i, column := range shapeOf(reflect.TypeFor[store.Job]()).columns {
			at := slices.Index(r.columns, column)
			if at < 0 {
				return fmt.Errorf("%w: jobs without %s", store.ErrDamaged, column)
			}
			text, ok := row[at].(string)
			if !ok {
				return fmt.Errorf("%w: a job with %s %v", store.ErrDamaged, column, row[at])
			}
			values[i] = text
		}
		if r.work == nil {
			continue
		}
		if err := r.work.Resume(ctx, t, store.Job{ID: values[0], Kind: values[1], Args: store.JSON(values[2])}); err != nil {
			return err
		}
	}
	return nil
}
