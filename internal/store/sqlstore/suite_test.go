package sqlstore_test

import (
	"context"
	"path/filepath"
	"testing"

	"rootcue/internal/store"
	"rootcue/internal/store/sqlstore"
	"rootcue/internal/store/storetest"
)

func TestMain(m *testing.M) { storetest.Main(m) }

var ctx = context.Background()

func openAt(t testing.TB, url string) *sqlstore.DB {
	t.Helper()
	db, err := sqlstore.Open(ctx, url)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := db.Close(); err != nil {
			t.Error(err)
		}
	})
	if err := db.Migrate(ctx); err != nil {
		t.Fatal(err)
	}
	return db
}

func newSQLite(t testing.TB) *sqlstore.DB {
	t.Helper()
	return openAt(t, filepath.Join(t.TempDir(), "club #1?%41.db"))
}

func newPostgres(t testing.TB) *sqlstore.DB {
	t.Helper()
	return openAt(t, storetest.Postgres(t))
}

func sqlite(t testing.TB) store.Store   { return newSQLite(t) }
func postgres(t testing.TB) store.Store { return newPostgres(t) }

// both runs a test on each kind of database.
func both(t *testing.T, test func(t *testing.T, open func(testing.TB) *sqlstore.DB)) {
	t.Run("SQLite", func(t *testing.T) { test(t, newSQLite) })
	t.Run("PostgreSQL", func(t *testing.T) { test(t, newPostgres) })
}

func TestSQLite(t *testing.T)   { storetest.Run(t, sqlite) }
func TestPostgres(t *testing.T) { storetest.Run(t, postgres) }

func TestBackup(t *testing.T) {
	t.Run("SQLite to SQLite", func(t *testing.T) { storetest.RunBackup(t, sqlite, sqlite) })
	t.Run("SQLite to PostgreSQL", func(t *testing.T) { storetest.RunBackup(t, sqlite, postgres) })
	t.Run("PostgreSQL to SQLite", func(t *testing.T) { storetest.RunBackup(t, postgres, sqlite) })
	t.Run("PostgreSQL to PostgreSQL", func(t *testing.T) { storetest.RunBackup(t, postgres, postgres) })
}
