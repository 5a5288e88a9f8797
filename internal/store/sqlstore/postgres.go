package sqlstore

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	neturl "net/url"
	"strings"
	"time"

	"github.com/jmoiron/sqlx"
	"github.com/lib/pq"

	"rootcue/internal/store"
)

// oldestPostgres is the first version with a choice of compression (14).
const oldestPostgres = 140000

// connections a server takes of PostgreSQL, whose default is 100 for all, and one
// more to ask whether it answers.
const connections = 16

func openPostgres(ctx context.Context, url string) (*DB, error) {
	if _, err := neturl.Parse(url); err != nil {
		return nil, fmt.Errorf("%w: database URL: %w", store.ErrInvalid, errors.Unwrap(err)) // without the URL and its password
	}
	shared, err := postgresPool(url, connections)
	if err != nil {
		return nil, err
	}
	probe, err := postgresPool(url, 1)
	if err != nil {
		return nil, errors.Join(err, shared.Close())
	}
	var version int
	err = probe.GetContext(ctx, &version, "SELECT current_setting('server_version_num')::int")
	if err == nil && version < oldestPostgres {
		err = fmt.Errorf("%w: PostgreSQL %d; want 14 or newer", store.ErrUnavailable, version/10000)
	}
	if err != nil {
		return nil, errors.Join(translate(ctx, err), probe.Close(), shared.Close())
	}
	return &DB{dialect: postgres, writer: shared, reader: shared, probe: probe}, nil
}

func postgresPool(url string, conns int) (*pool, error) {
	config, err := pq.NewConfig(url)
	if err != nil {
		return nil, fmt.Errorf("%w: database URL: %w", store.ErrInvalid, err)
	}
	config.BinaryParameters = true // one round trip a statement in place of two
	connector, err := pq.NewConnectorConfig(config)
	if err != nil {
		return nil, fmt.Errorf("%w: database URL: %w", store.ErrInvalid, err)
	}
	p := newPool(sqlx.NewDb(sql.OpenDB(connector), "postgres"), conns, false)
	p.SetConnMaxIdleTime(5 * time.Minute)
	return p, nil
}

// learn has PostgreSQL look anew at tables that have grown to more than twice of
// what it knows. Until it has, it takes a club for one of hundreds and reads all
// of its rows where an index leads to one, even to check a foreign key; its own
// daemon comes a minute later. What goes wrong here is left to that. A table of
// up to 16 pages (128 KiB) is small enough to be read whole.
func (d *DB) learn(ctx context.Context, tables []string) {
	if len(tables) == 0 {
		return
	}
	var grown []string
	ask, args, err := sqlx.In(`SELECT relname FROM pg_class WHERE relnamespace = current_schema()::regnamespace AND relname IN (?)
		AND pg_relation_size(oid) / current_setting('block_size')::int > 2 * greatest(relpages, 8)`, tables)
	if err == nil {
		err = d.writer.SelectContext(ctx, &grown, d.writer.Rebind(ask), args...)
	}
	if err == nil && len(grown) > 0 {
		_, _ = d.writer.ExecContext(ctx, "ANALYZE (SKIP_LOCKED) "+strings.Join(grown, ", "))
	}
}

// checkLZ4 asks whether the server was built with the compression that the
// tables name: the migration's own error would not say what to do.
func (d *DB) checkLZ4(ctx context.Context) error {
	if d.dialect != postgres {
		return nil
	}
	var has bool
	const ask = "SELECT 'lz4' = ANY (enumvals) FROM pg_settings WHERE name = 'default_toast_compression'"
	if err := d.writer.GetContext(ctx, &has, ask); err != nil {
		return translate(ctx, err)
	}
	if !has {
		return fmt.Errorf("%w: this PostgreSQL was built without lz4; use one built --with-lz4, as the packages of Debian and postgresql.org are", store.ErrUnavailable)
	}
	return nil
}

// Fenced tells whether the database itself keeps clubs apart: PostgreSQL does,
// by row security, unless the server runs as a superuser or as a role that may
// bypass it. SQLite has no such thing.
func (d *DB) Fenced(ctx context.Context) (bool, error) {
	if d.dialect != postgres {
		return false, nil
	}
	var fenced bool
	err := d.reader.GetContext(ctx, &fenced, "SELECT NOT (rolsuper OR rolbypassrls) FROM pg_roles WHERE rolname = current_user")
	return fenced, translate(ctx, err)
}
