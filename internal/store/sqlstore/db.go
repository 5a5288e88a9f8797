// Package sqlstore keeps a club's data in SQLite or PostgreSQL. One code serves
// both: the dialects differ in how they are opened, in how bulk rows and large
// bodies go in, and in little else.
package sqlstore

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"time"

	"rootcue/internal/store"
)

// A DB is an open database. It is a store.Store.
type DB struct {
	// Clock gives the time of a transaction. Set it before use, or leave it.
	Clock func() time.Time

	dialect dialect
	writer  *pool // of SQLite one connection, which all writers share in turn
	reader  *pool // of PostgreSQL the same pool
	probe   *pool // one connection, so that who asks for the schema waits for no work
}

var _ store.Store = (*DB)(nil)

// Open opens a database: a URL that starts with postgres:// or postgresql://,
// or else the path of an SQLite file, which is made when missing. It migrates
// nothing, but refuses a schema newer than this program (ErrNewerSchema), a
// file that is no database (ErrDamaged) and a server it cannot reach
// (ErrUnavailable).
func Open(ctx context.Context, url string) (*DB, error) {
	db, err := open(ctx, url)
	if err != nil {
		return nil, err
	}
	db.Clock = time.Now
	if err := db.Ready(ctx); err != nil && !errors.Is(err, store.ErrOldSchema) {
		return nil, errors.Join(err, db.Close())
	}
	return db, nil
}

func open(ctx context.Context, url string) (*DB, error) {
	scheme, _, hasScheme := strings.Cut(url, "://")
	kind, _, _ := strings.Cut(url, ":")
	switch {
	case url == "":
		return nil, fmt.Errorf("%w: no database named; want a file or postgres://…", store.ErrInvalid)
	case hasScheme && (scheme == "postgres" || scheme == "postgresql"):
		return openPostgres(ctx, url)
	case hasScheme || kind == "file" || url == ":memory:":
		// The rest of a URL may hold a password.
		return nil, fmt.Errorf("%w: database of the kind %.20q; want the path of a file or postgres://…", store.ErrInvalid, kind)
	}
	return openSQLite(ctx, url)
}

// Writer is the pool that writes, for a job queue beside the store. With SQLite
// it holds one connection: whoever keeps it keeps all other writers waiting.
func (d *DB) Writer() *sql.DB { return d.writer.DB.DB }

// Postgres tells whether the database is PostgreSQL.
func (d *DB) Postgres() bool { return d.dialect == postgres }

// Failure gives an error of this database's driver its kind, see store/errors.go,
// for those who use Writer or a transaction's SQL themselves.
func (d *DB) Failure(ctx context.Context, err error) error { return translate(ctx, err) }

// Close closes all connections.
func (d *DB) Close() error {
	err := errors.Join(d.probe.Close(), d.writer.Close())
	if d.reader != d.writer {
		err = errors.Join(err, d.reader.Close())
	}
	return err
}
