package sqlstore

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"time"

	"github.com/jmoiron/sqlx"
	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"

	"rootcue/internal/store"
	"rootcue/migrations"
)

// versionTable is where the applied migrations stand.
const versionTable = "schema_version"

// SchemaVersion is the number of this program's last migration.
func SchemaVersion() int64 {
	names, err := fs.Glob(migrations.SQLite, "sqlite/*.sql")
	if err != nil || len(names) == 0 {
		panic("no migrations embedded")
	}
	last, err := goose.NumericComponent(names[len(names)-1])
	if err != nil {
		panic(err)
	}
	return last
}

// Migrate brings the schema up to this program's. Several may call it at once.
// Others who keep tables beside these, such as a job queue, add theirs after it.
func (d *DB) Migrate(ctx context.Context) error { return d.migrateTo(ctx, SchemaVersion()) }

func (d *DB) migrateTo(ctx context.Context, version int64) error {
	if err := d.Ready(ctx); !errors.Is(err, store.ErrOldSchema) {
		return err
	}
	if err := errors.Join(d.checkForeign(ctx), d.checkLZ4(ctx)); err != nil {
		return err
	}
	p, err := d.provider()
	if err != nil {
		return err
	}
	// SQLite offers no lock across migrations. Two programs that start at once
	// on a new file may both plan the same step; the second then finds it done.
	const tries = 50
	for try := 1; ; try++ {
		_, err = p.UpTo(ctx, version)
		if err == nil || d.dialect == postgres || try == tries {
			return translate(ctx, err)
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// checkForeign refuses to add tables to the file of another program. The order
// of the two questions matters when another rootcue migrates the file just now:
// where there are tables of ours, the version stands too.
func (d *DB) checkForeign(ctx context.Context) error {
	if d.dialect != sqlite {
		return nil
	}
	var tables int
	if err := d.reader.GetContext(ctx, &tables, "SELECT count(*) FROM sqlite_master WHERE tbl_name <> ? AND tbl_name NOT LIKE 'sqlite%'", versionTable); err != nil {
		return translate(ctx, err)
	}
	version, err := d.version(ctx)
	if err == nil && version == 0 && tables > 0 {
		err = fmt.Errorf("%w: the file holds tables of another program", store.ErrDamaged)
	}
	return err
}

func (d *DB) provider() (*goose.Provider, error) {
	dialect, files, dir := goose.DialectSQLite3, fs.FS(migrations.SQLite), "sqlite"
	opts := []goose.ProviderOption{goose.WithTableName(versionTable), goose.WithDisableGlobalRegistry(true)}
	if d.dialect == postgres {
		dialect, files, dir = goose.DialectPostgres, migrations.Postgres, "postgres"
		locker, err := lock.NewPostgresSessionLocker(lock.WithLockTimeout(1, 300)) // asks every second
		if err != nil {
			return nil, err
		}
		opts = append(opts, goose.WithSessionLocker(locker))
	}
	sub, err := fs.Sub(files, dir)
	if err != nil {
		return nil, err
	}
	return goose.NewProvider(dialect, d.Writer(), sub, opts...)
}

// Ready reports whether the database answers and has this program's schema.
func (d *DB) Ready(ctx context.Context) error {
	found, err := d.version(ctx)
	if err != nil {
		return err
	}
	switch want := SchemaVersion(); {
	case found > want:
		return fmt.Errorf("%w: it is at %d, this program knows %d; use a newer program", store.ErrNewerSchema, found, want)
	case found < want:
		return fmt.Errorf("%w: it is at %d, this program wants %d; migrate it", store.ErrOldSchema, found, want)
	}
	return nil
}

// version is the number of the last migration applied, 0 for an empty database.
func (d *DB) version(ctx context.Context) (int64, error) {
	var tables, version int64
	if err := d.probe.GetContext(ctx, &tables, d.probe.Rebind(d.dialect.hasTable()), versionTable); err != nil {
		return 0, translate(ctx, err)
	}
	if tables == 0 {
		return 0, nil
	}
	err := sqlx.GetContext(ctx, d.probe, &version, "SELECT coalesce(max(version_id), 0) FROM "+versionTable+" WHERE is_applied")
	return version, translate(ctx, err)
}
