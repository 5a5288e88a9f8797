package sqlstore

import (
	"compress/gzip"
	"context"
	"fmt"
	"os"

	"rootcue/internal/store"
)

// Restore implements store.Store. A backup of an older schema is loaded under
// that schema and then migrated; so the database must not be ahead of it: take
// a new one. All is restored or nothing.
func (d *DB) Restore(ctx context.Context, file string, work store.Work) error {
	f, err := os.Open(file)
	if err != nil {
		return err
	}
	defer f.Close()
	zip, err := gzip.NewReader(f)
	if err != nil {
		return fmt.Errorf("%w: %s is no backup: %w", store.ErrDamaged, file, err)
	}
	r := newRestorer(zip, work)
	if err := r.header(); err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	if err := d.prepareFor(ctx, r.schema); err != nil {
		return err
	}
	if work != nil {
		if err := work.Prepare(ctx); err != nil {
			return err
		}
	}
	if err := d.write(ctx, "", func(t *tx) error { return r.load(ctx, t) }); err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	return d.Migrate(ctx)
}

// prepareFor brings an empty database to the schema of a backup.
func (d *DB) prepareFor(ctx context.Context, schema int64) error {
	if schema > SchemaVersion() {
		return fmt.Errorf("%w: the backup is at %d, this program knows %d; use a newer program", store.ErrNewerSchema, schema, SchemaVersion())
	}
	if err := d.migrateTo(ctx, schema); err != nil {
		return err
	}
	found, err := d.version(ctx)
	if err != nil {
		return err
	}
	if found > schema {
		return fmt.Errorf("%w: the database is at %d, the backup at %d; restore into a new database", store.ErrNotEmpty, found, schema)
	}
	clubs, err := d.Clubs(ctx)
	if err == nil && len(clubs) > 0 {
		err = fmt.Errorf("%w: %d; restore into a new database", store.ErrNotEmpty, len(clubs))
	}
	return err
}
