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
// SQLite ignores a misspelt one in silence.
var pragmas = []struct{ name, set, want string }{
	{"busy_timeout", "10000", "10000"}, // ms; first, since the next may meet a lock
	{"journal_mode", "wal", "wal"},     // readers and the writer do not wait for each other
	{"synchronous", "full", "2"},       // what was answered survives a power cut
	{"foreign_keys", "on", "1"},
	{"secure_delete", "on", "1"}, // what is erased is overwritten
	{"trusted_schema", "off", "0"},
	{"cache_size", "-16384", "-16384"}, // KiB
}

// pageSize suits bodies of a few KiB; it holds from a file's first table on.
const pageSize = 8192

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

func sqliteSide(ctx context.Context, abs string, conns int, lock, queryOnly, wantOnly string) (*sqlx.DB, error) {
	q := url.Values{"_txlock": {lock}}
	for _, p := range pragmas {
		q.Add("_pragma", p.name+"("+p.set+")")
		if p.name == "busy_timeout" {
			q.Add("_pragma", fmt.Sprintf("page_size(%d)", pageSize))
		}
	}
	q.Add("_pragma", "query_only("+queryOnly+")")
	dsn := url.URL{Scheme: "file", OmitHost: true, Path: abs, RawQuery: q.Encode()}
	db, err := sqlx.Open("sqlite", dsn.String())
	if err != nil {
		return nil, translate(ctx, err)
	}
	db.SetMaxOpenConns(conns)
	db.SetMaxIdleConns(conns)
	if err := readBack(ctx, db, wantOnly); err != nil {
		return nil, errors.Join(translate(ctx, err), db.Close())
	}
	return db, nil
}

func readBack(ctx context.Context, db *sqlx.DB, queryOnly string) error {
	for _, p := range append(pragmas[:len(pragmas):len(pragmas)], struct{ name, set, want string }{"query_only", "", queryOnly}) {
		var got string
		if err := db.GetContext(ctx, &got, "PRAGMA "+p.name); err != nil {
			return err
		}
		if got != p.want {
			return fmt.Errorf("%w: SQLite setting %s is %s, want %s", store.ErrUnavailable, p.name, got, p.want)
		}
	}
	return nil
}
