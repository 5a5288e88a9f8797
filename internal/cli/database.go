package cli

import (
	"context"
	"errors"

	"rootcue/internal/club"
	"rootcue/internal/jobs"
	"rootcue/internal/store"
	"rootcue/internal/store/sqlstore"
)

// databaseFlag names the database a command works on.
type databaseFlag struct {
	Database string `default:"rootcue.db" env:"ROOTCUE_DATABASE" placeholder:"URL" help:"The database: the path of a file, or postgres://…"`
}

// open opens the database as it is.
func (f databaseFlag) open(ctx context.Context) (*sqlstore.DB, error) {
	db, err := sqlstore.Open(ctx, f.Database)
	if err != nil {
		return nil, databaseFailure(err)
	}
	return db, nil
}

// openMigrated opens the database, makes it if it is missing and brings it up
// to this program.
func (f databaseFlag) openMigrated(ctx context.Context) (*sqlstore.DB, error) {
	db, err := f.open(ctx)
	if err != nil {
		return nil, err
	}
	err = db.Migrate(ctx)
	if err == nil {
		err = jobs.Migrate(ctx, db)
	}
	if err != nil {
		return nil, errors.Join(databaseFailure(err), db.Close())
	}
	return db, nil
}

// openCurrent opens a database that must be of this program's schema.
func (f databaseFlag) openCurrent(ctx context.Context) (*sqlstore.DB, error) {
	db, err := f.open(ctx)
	if err != nil {
		return nil, err
	}
	if err := db.Ready(ctx); err != nil {
		return nil, errors.Join(databaseFailure(err), db.Close())
	}
	return db, nil
}

// databaseFailure says what to do about a database that cannot be used.
func databaseFailure(err error) error {
	var refusal *club.Refusal
	switch {
	case errors.As(err, &refusal):
		return badInput("%v", err)
	case errors.Is(err, store.ErrInvalid):
		return badUsage("--database: %v", err)
	case errors.Is(err, store.ErrOldSchema):
		return cannotRun("database: %v; run: %s migrate", err, programName)
	case errors.Is(err, store.ErrNewerSchema):
		return cannotRun("database: %v; use the newer program", err)
	}
	return cannotRun("database: %v", err)
}
