package sqlstore

import (
	"context"
	"fmt"

	"rootcue/internal/store"
)

// TakeTurn implements store.Log. SQLite has one writer anyway.
func (t *tx) TakeTurn(ctx context.Context) error {
	_, err := t.turn(ctx)
	return err
}

// turn locks the log's head and gives it; whoever locked it knows it till the end.
func (t *tx) turn(ctx context.Context) (*store.Change, error) {
	if t.last == nil {
		head, err := t.head(ctx, t.db.dialect.forUpdate())
		if err != nil {
			return nil, err
		}
		t.last, t.own, t.active = &head, nil, nil // what was read before may have changed until now
	}
	return t.last, nil
}

// AppendChanges implements store.Log.
func (t *tx) AppendChanges(ctx context.Context, changes []store.Change) error {
	if len(changes) == 0 {
		return nil
	}
	last, err := t.turn(ctx)
	if err != nil {
		return err
	}
	head := *last
	for i := range changes {
		c := &changes[i]
		t.date(&c.At)
		c.Seq, c.PrevHash = head.Seq+1, head.Hash
		c.Hash = store.ChainHash(t.club, c.PrevHash, *c)
		head = *c
	}
	if err := insert(ctx, t, "changes", "", changes...); err != nil {
		return err
	}
	if _, err := t.exec(ctx, "UPDATE clubs SET log_seq = ?, log_hash = ? WHERE id = ?", head.Seq, head.Hash, t.club); err != nil {
		return err
	}
	*last, t.own = head, nil
	return nil
}

// head is the seq and hash of the last change as the club's row has them.
func (t *tx) head(ctx context.Context, lock string) (store.Change, error) {
	var head store.Change
	err := t.value(ctx, "SELECT log_seq, log_hash FROM clubs WHERE id = ?"+lock, []any{t.club}, &head.Seq, &head.Hash)
	return head, err
}

// Changes implements store.Log.
func (t *tx) Changes(ctx context.Context, before int64, limit int) ([]store.Change, error) {
	var w where
	if before > 0 {
		w.and("seq < ?", before)
	}
	return list[store.Change](ctx, t, "changes", w.sql+"ORDER BY seq DESC LIMIT ?", append(w.args, bounded(limit))...)
}

// VerifyChanges implements store.Log. The club's row tells how the log should
// end, so that entries cut off at the end are missed too.
func (t *tx) VerifyChanges(ctx context.Context) (int64, error) {
	head, err := t.head(ctx, "")
	if err != nil {
		return 0, err
	}
	var last store.Change
	err = each(ctx, t, "changes", "ORDER BY seq", nil, func(c store.Change) error {
		if c.Seq != last.Seq+1 || c.PrevHash != last.Hash || c.Hash != store.ChainHash(t.club, last.Hash, c) {
			return fmt.Errorf("%w at entry %d", store.ErrBrokenLog, last.Seq+1)
		}
		last = c
		return nil
	})
	if err == nil && (last.Seq != head.Seq || last.Hash != head.Hash) {
		err = fmt.Errorf("%w: it ends with entry %d, the club's row says %d", store.ErrBrokenLog, last.Seq, head.Seq)
	}
	return last.Seq, err
}
