package cli

import (
	"context"
	"fmt"

	"rootcue/internal/store/sqlstore"
)

// migrateCmd brings a database up to this program.
type migrateCmd struct{ databaseFlag }

// Help is the example shown by --help.
func (migrateCmd) Help() string {
	return "Example:\n  rootcue migrate --database postgres:///club\nA database that is there already keeps all it holds; take a backup first all the same."
}

// Run migrates.
func (c *migrateCmd) Run(s *streams) error {
	db, err := c.openMigrated(context.Background())
	if err != nil {
		return err
	}
	fmt.Fprintf(s.Out, "The database is at schema version %d.\n", sqlstore.SchemaVersion())
	return db.Close()
}
