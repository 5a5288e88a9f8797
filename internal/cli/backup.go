package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/signal"
	"syscall"

	"rootcue/internal/club"
	"rootcue/internal/jobs"
	"rootcue/internal/store"
	"rootcue/internal/store/sqlstore"
)

// backupCmd writes everything to a file, while others work.
type backupCmd struct {
	File string `arg:"" help:"The file to write; it must not be there yet."`
	databaseFlag
}

// Help is the example shown by --help.
func (backupCmd) Help() string {
	return "Example:\n  rootcue backup club-2026-05-09.backup\nIt holds data of children: keep it where only you can read it."
}

// Run writes the backup.
func (c *backupCmd) Run(s *streams) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop() // told to end, it leaves nothing half written behind
	db, err := c.openCurrent(ctx)
	if err != nil {
		return err
	}
	queue, err := jobs.New(db, club.New(db), jobs.Options{})
	if err == nil {
		err = db.Backup(ctx, c.File, queue)
	}
	if err != nil {
		return errors.Join(backupFailure(err), db.Close())
	}
	fmt.Fprintf(s.Out, "Everything is in %s.\n", c.File)
	return db.Close()
}

// restoreCmd reads a backup into a new database.
type restoreCmd struct {
	File string `arg:"" help:"The backup to read."`
	databaseFlag
}

// Help is the example shown by --help.
func (restoreCmd) Help() string {
	return "Example:\n  rootcue restore club-2026-05-09.backup --database new.db\nThe database must be new; it may be of another kind than the one backed up."
}

// Run reads the backup, whole or not at all.
func (c *restoreCmd) Run(s *streams) error {
	ctx := context.Background()
	db, err := c.open(ctx)
	if err != nil {
		return err
	}
	queue, err := jobs.New(db, club.New(db), jobs.Options{})
	if err == nil {
		err = db.Restore(ctx, c.File, queue)
	}
	waiting, messages := 0, 0
	if err == nil {
		waiting, messages, err = queue.Waiting(ctx)
	}
	if err != nil {
		return errors.Join(backupFailure(err), db.Close())
	}
	fmt.Fprintf(s.Out, "%s is restored, at schema version %d.\n", c.File, sqlstore.SchemaVersion())
	if waiting > 0 {
		fmt.Fprintf(s.Out, "Re-assessments, exports and erasures that were waiting or running: %d. The next server does them, under their own ids.\n", waiting)
	}
	if messages > 0 {
		fmt.Fprintf(s.Out, "Messages to webhooks that were waiting: %d. The next server sends them, under their own ids.\n", messages)
	}
	return db.Close()
}

// backupFailure says what is wrong with the file, or else with the database.
func backupFailure(err error) error {
	switch {
	case errors.Is(err, fs.ErrExist):
		return cannotRun("%v; give a file that is not there yet", err)
	case errors.Is(err, store.ErrDamaged):
		return badInput("%v", err)
	case errors.Is(err, store.ErrInvalid), errors.Is(err, store.ErrConflict):
		return badInput("the backup holds what cannot be stored: %v", err)
	case errors.Is(err, store.ErrNotEmpty):
		return cannotRun("%v", err)
	}
	var path *fs.PathError
	if errors.As(err, &path) {
		return cannotRun("%v", err)
	}
	return databaseFailure(err)
}
