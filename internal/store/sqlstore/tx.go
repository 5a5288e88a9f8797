package sqlstore

import (
	"context"
	"database/sql"

	"github.com/jmoiron/sqlx"

	"rootcue/internal/store"
)

// tx is one transaction of one club.
type tx struct {
	db     *DB
	sx     *sqlx.Tx
	pool   *pool
	club   string
	now    store.Time
	erased bool          // something was erased for good
	copied []string      // tables that took many rows
	last   *store.Change // the log's head, once this transaction has locked it

	// Asked for again and again, and read once, or once more after what changes them.
	own    *store.Club
	active map[activeName]int // versions
}

var _ store.Tx = (*tx)(nil)

// ClubID implements store.Tx.
func (t *tx) ClubID() string { return t.club }

// Now implements store.Tx.
func (t *tx) Now() store.Time { return t.now }

// SQL implements store.Tx.
func (t *tx) SQL() *sql.Tx { return t.sx.Tx }

// InTx implements store.Store.
func (d *DB) InTx(ctx context.Context, club string, fn func(store.Tx) error) error {
	return d.write(ctx, club, func(t *tx) error { return fn(t) })
}

// View implements store.Store.
func (d *DB) View(ctx context.Context, club string, fn func(store.Tx) error) error {
	return d.read(ctx, club, func(t *tx) error { return fn(t) })
}

func (d *DB) write(ctx context.Context, club string, fn func(*tx) error) error {
	return d.run(ctx, d.writer, nil, club, fn)
}

func (d *DB) read(ctx context.Context, club string, fn func(*tx) error) error {
	var opts *sql.TxOptions // an SQLite transaction is a snapshot, its reader query_only
	if d.dialect == postgres {
		opts = &sql.TxOptions{Isolation: sql.LevelRepeatableRead, ReadOnly: true}
	}
	return d.run(ctx, d.reader, opts, club, fn)
}

func (d *DB) run(ctx context.Context, p *pool, opts *sql.TxOptions, club string, fn func(*tx) error) error {
	p.prepare(ctx)
	sx, err := p.BeginTxx(ctx, opts)
	if err != nil {
		return translate(ctx, err)
	}
	defer sx.Rollback() // after Commit it does nothing
	t := &tx{db: d, sx: sx, pool: p, now: store.At(d.Clock())}
	if err := t.enter(ctx, club); err != nil {
		return err
	}
	if err := fn(t); err != nil {
		return err
	}
	if err := sx.Commit(); err != nil {
		return translate(ctx, err)
	}
	d.learn(ctx, t.copied)
	if t.erased && d.dialect == sqlite {
		// Erased pages are overwritten in the log of writes only; carry that over
		// into the file. A reader in the way is no failure: the next one does it.
		d.writer.ExecContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)")
	}
	return nil
}

// enter confines the transaction to a club, for PostgreSQL's row security too.
func (t *tx) enter(ctx context.Context, club string) error {
	t.club, t.last, t.own, t.active = club, nil, nil, nil
	return t.setting(ctx, "club", club)
}

// setting sets what the row security policies look at, until the transaction ends.
func (t *tx) setting(ctx context.Context, name, value string) error {
	if t.db.dialect != postgres {
		return nil
	}
	_, err := t.exec(ctx, "SELECT set_config('rootcue.' || ?, ?, true)", name, value)
	return err
}
