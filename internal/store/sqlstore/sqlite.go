package sqlstore

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"runtime"

	"github.com/jmoiron/sqlx"
	_ "modernc.org/sqlite" // the driver "sqlite"

	"rootcue/internal/store"
)

// pragmas are set on every connection and read back once at start, since
// SQLite ignores a misspelt one in silence. The driver runs those under _pragma
// in the order of their names, the others after them.
var pragmas = []struct{ key, name, set, want string }{
	{"_pragma", "busy_timeout", "10000", "10000"}, // ms; the driver runs it first
	{"_pragma", "page_size", "8192", ""},          // holds for a new file; bodies have a few KiB
	{"_pragma", "cache_size", "-8192", "-8192"},   // KiB a connection
	{"_pragma", "secure_delete", "on", "1"},       // what is erased is overwritten
	{"_pragma", "trusted_schema", "off", "0"},     // a file from elsewhere runs no functions
	{"_foreign_keys", "foreign_keys", "on", "1"},
	{"_journal_mode", "journal_mode", "wal", "wal"}, // readers and the writer do not wait for each other
	{"_synchronous", "synchronous", "full", "2"},    // what was answered survives a power cut
}

// openSQLite opens one connection that writes and several that only read. With
// deferred transactions on several writers most are lost to SQLITE_BUSY; one
// writer that locks at once loses none.
func openSQLite(ctx context.Context, path string) (*DB, error) {
	abs, err := makeFile(path)
	if err != nil {
		return nil, err
	}
	d := &DB{dialect: sqlite}
	if d.writer, err = sqliteSide(ctx, abs, 1, "immediate", "off", "0"); err != nil {
		return nil, fmt.Errorf("database %s: %w", path, err)
	}
	if d.reader, err = sqliteSide(ctx, abs, max(4, runtime.GOMAXPROCS(0)), "deferred", "on", "1"); err != nil {
		return nil, errors.Join(fmt.Errorf("database %s: %w", path, err), d.writer.Close())
	}
	if d.probe, err = sqliteSide(ctx, abs, 1, "deferred", "on", "1"); err != nil {
		return nil, errors.Join(fmt.Errorf("database %s: %w", path, err), d.reader.Close(), d.writer.Close())
	}
	return d, nil
}

// makeFile makes the file when missing, readable to its owner only: it holds
// data of children. SQLite gives its side files the same mode.
func makeFile(path string) (string, error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return "", fmt.Errorf("%w: database file: %w", store.ErrUnavailable, err)
	}
	if err := f.Close(); err != nil {
		return "", fmt.Errorf("%w: database file: %w", store.ErrUnavailable, err)
	}
	return filepath.Abs(path)
}

func sqliteSide(ctx context.Context, abs string, conns int, lock, queryOnly, wantOnly string) (*pool, error) {
	q := url.Values{"_txlock": {lock}, "_query_only": {queryOnly}}
	for _, p := range pragmas {
		if p.key == "_pragma" {
			q.Add(p.key, p.name+"("+p.set+")")
		} else {
			q.Set(p.key, p.set)
		}
	}
	dsn := url.URL{Scheme: "file", OmitHost: true, Path: abs, RawQuery: q.Encode()}
	db, err := sqlx.Open("sqlite", dsn.String())
	if err != nil {
		return nil, translate(ctx, err)
	}
	p := newPool(db, conns, true)
	if err := readBack(ctx, db, wantOnly); err != nil {
		return nil, errors.Join(translate(ctx, err), db.Close())
	}
	return p, nil
}

func readBack(ctx context.Context, db *sqlx.DB, queryOnly string) error {
	wanted := map[string]string{"query_only": queryOnly}
	for _, p := range pragmas {
		if p.want != "" {
			wanted[p.name] = p.want
		}
	}
	for name, want := range wanted {
		var got string
		if err := db.GetContext(ctx, &got, "PRAGMA "+name); err != nil {
			return err
		}
		if got != want {
			return fmt.Errorf("%w: SQLite setting %s is %s, want %s", store.ErrUnavailable, name, got, want)
		}
	}
	return nil
}
