package sqlstore

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"syscall"

	"github.com/lib/pq"
	modernc "modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"rootcue/internal/store"
)

// translate says in the store's words what a driver reported, going by its
// codes only. The driver's error stays below, for the log.
func translate(ctx context.Context, err error) error {
	if err == nil {
		return nil
	}
	if cause := ctx.Err(); cause != nil && !errors.Is(err, cause) {
		// Each driver has its own error for a query that was cut off.
		return fmt.Errorf("%w: %w", cause, err)
	}
	var lite *modernc.Error
	var pg *pq.Error
	switch {
	case errors.As(err, &lite):
		return join(sqliteKind(lite.Code()), err)
	case errors.As(err, &pg):
		return join(postgresKind(string(pg.Code)), err)
	case errors.Is(err, sql.ErrNoRows):
		return join(store.ErrNotFound, err)
	case unreachable(err):
		return join(store.ErrUnavailable, err)
	}
	return err
}

func join(kind, err error) error {
	if kind == nil || errors.Is(err, kind) {
		return err
	}
	return fmt.Errorf("%w: %w", kind, err)
}

var errFull = fmt.Errorf("%w: %w", store.ErrUnavailable, store.ErrFull)

// sqliteKind goes by the primary code, and by the extended one where that alone
// tells a key taken from a value refused (sqlite.org/rescode.html).
func sqliteKind(code int) error {
	switch code {
	case sqlite3.SQLITE_CONSTRAINT_UNIQUE, sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY, sqlite3.SQLITE_CONSTRAINT_ROWID:
		return store.ErrConflict
	}
	switch code & 0xff {
	case sqlite3.SQLITE_CONSTRAINT, sqlite3.SQLITE_MISMATCH, sqlite3.SQLITE_TOOBIG:
		return store.ErrInvalid
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_NOMEM:
		return store.ErrUnavailable
	case sqlite3.SQLITE_FULL:
		return errFull
	case sqlite3.SQLITE_READONLY:
		return store.ErrReadOnly
	case sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT:
		return store.ErrDamaged
	}
	return nil
}

// postgresKind goes by SQLSTATE (PostgreSQL manual, appendix A).
func postgresKind(code string) error {
	switch code {
	case "23505": // unique_violation
		return store.ErrConflict
	case "25006": // read_only_sql_transaction
		return store.ErrReadOnly
	case "42501": // insufficient_privilege, which a row security policy raises
		return store.ErrFenced
	case "53100": // disk_full
		return errFull
	case "40001", "40P01", "55P03": // serialization, deadlock, lock not available
		return store.ErrUnavailable
	}
	switch code[:min(2, len(code))] {
	case "22", "23": // data exception, integrity constraint
		return store.ErrInvalid
	case "08", "53", "57", "58", "28", "3D": // connection, resources, operator, system, authorization, no such database
		return store.ErrUnavailable
	case "XX": // data or index corrupted
		return store.ErrDamaged
	}
	return nil
}

func unreachable(err error) bool {
	var network net.Error
	var number syscall.Errno
	return errors.As(err, &network) || errors.As(err, &number) || errors.Is(err, driver.ErrBadConn) ||
		errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, os.ErrDeadlineExceeded)
}
