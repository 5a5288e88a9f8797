package club

import (
	"context"
	"errors"
	"io"

	"rootcue/internal/store"
)

// A batch is what one or a few transactions store, read and ready.
type batch struct {
	parts []*part
	err   error // instead of parts: the work ends
}

// ahead prepares one batch while the one before is stored. As long as that
// takes, the next is judged too, by what is in force meanwhile: what is decided
// in its own transaction then mostly needs no judging there. The channel is
// closed at the end of the source, after an error, or when ctx is done.
func (c *Clubs) ahead(ctx context.Context, a Actor, q *queue) <-chan batch {
	batches := make(chan batch)
	go func() {
		defer close(batches)
		for {
			b := c.nextBatch(ctx, a, q)
			if errors.Is(b.err, io.EOF) {
				return
			}
			select {
			case batches <- b:
			default:
				if b.err == nil {
					b.err = c.judgeAhead(ctx, a, b.parts)
				}
				select {
				case batches <- b:
				case <-ctx.Done():
					return
				}
			}
			if b.err != nil {
				return
			}
		}
	}()
	return batches
}

func (c *Clubs) nextBatch(ctx context.Context, a Actor, q *queue) (b batch) {
	b.err = caught(func() error {
		entries, err := q.take()
		if err == nil {
			b.parts, err = c.prepare(ctx, a, entries)
		}
		return err
	})
	return b
}

// judgeAhead judges parts as the database stands now.
func (c *Clubs) judgeAhead(ctx context.Context, a Actor, parts []*part) error {
	return caught(func() error {
		if err := c.view(ctx, a, func(tx store.Tx) error { return c.decide(ctx, tx, parts) }); err != nil {
			return err
		}
		judgeAll(parts)
		return nil
	})
}
