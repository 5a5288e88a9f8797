package sqlstore

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"net"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/lib/pq"

	"rootcue/internal/store"
)

// Result codes from sqlite.org/rescode.html, SQLSTATE from appendix A of the
// PostgreSQL manual.
func TestErrorKinds(t *testing.T) {
	for code, want := range map[int]error{
		2067: store.ErrConflict, 1555: store.ErrConflict, 2579: store.ErrConflict, // unique, primary key, rowid
		275: store.ErrInvalid, 787: store.ErrInvalid, 1299: store.ErrInvalid, 1811: store.ErrInvalid, 3091: store.ErrInvalid, // check, foreign key, not null, trigger, datatype
		5: store.ErrUnavailable, 261: store.ErrUnavailable, 517: store.ErrUnavailable, 6: store.ErrUnavailable, // busy and its kinds, locked
		10: store.ErrUnavailable, 4874: store.ErrUnavailable, 14: store.ErrUnavailable, // I/O, cannot open
		13: store.ErrFull, 8: store.ErrReadOnly, 11: store.ErrDamaged, 26: store.ErrDamaged, 18: store.ErrInvalid,
	} {
		if got := sqliteKind(code); !errors.Is(got, want) {
			t.Errorf("SQLite %d: found %v, want %v", code, got, want)
		}
	}
	for code, want := range map[string]error{
		"23505": store.ErrConflict, "23503": store.ErrInvalid, "23502": store.ErrInvalid, "23514": store.ErrInvalid, "23000": store.ErrInvalid,
		"22008": store.ErrInvalid, "22021": store.ErrInvalid, "25006": store.ErrReadOnly, "42501": store.ErrFenced,
		"40001": store.ErrUnavailable, "40P01": store.ErrUnavailable, "53300": store.ErrUnavailable, "57P01": store.ErrUnavailable,
		"08006": store.ErrUnavailable, "58030": store.ErrUnavailable, "28P01": store.ErrUnavailable, "3D000": store.ErrUnavailable, "53100": store.ErrFull, "XX001": store.ErrDamaged,
	} {
		if got := postgresKind(code); !errors.Is(got, want) {
			t.Errorf("PostgreSQL %s: found %v, want %v", code, got, want)
		}
	}
	if sqliteKind(1) != nil || postgresKind("42601") != nil || postgresKind("") != nil {
		t.Error("a defect of the program has no kind of its own")
	}
	if !errors.Is(sqliteKind(13), store.ErrUnavailable) || !errors.Is(postgresKind("53100"), store.ErrUnavailable) {
		t.Error("a full disk is also an unavailable database")
	}
}

func TestTranslate(t *testing.T) {
	live := context.Background()
	cancelled, cancel := context.WithCancel(live)
	cancel()
	plain := errors.New("plain")
	for _, c := range []struct {
		ctx      context.Context
		err, is_ error
	}{
		{live, sql.ErrNoRows, store.ErrNotFound},
		{live, &pq.Error{Code: "23505"}, store.ErrConflict},
		{live, fmt.Errorf("within: %w", &pq.Error{Code: "57P03"}), store.ErrUnavailable},
		{live, &net.OpError{Op: "dial", Err: syscall.ECONNREFUSED}, store.ErrUnavailable},
		{live, syscall.ECONNRESET, store.ErrUnavailable},
		{live, io.ErrUnexpectedEOF, store.ErrUnavailable},
		{live, plain, plain},
		{cancelled, &pq.Error{Code: "57014"}, context.Canceled},
		{cancelled, plain, plain},
	} {
		got := translate(c.ctx, c.err)
		if !errors.Is(got, c.is_) || !errors.Is(got, c.err) {
			t.Errorf("%v: found %v, want both it and %v", c.err, got, c.is_)
		}
	}
	if translate(cancelled, nil) != nil {
		t.Error("no error is no error")
	}
}

// The drivers' own errors, not made-up ones: a lock held by another, a full
// disk, a writer that may only read.
func TestDriverErrors(t *testing.T) {
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "club.db")
	raw := func(options string) *sql.Conn {
		db, err := sql.Open("sqlite", "file:"+path+"?"+options)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { db.Close() })
		conn, err := db.Conn(ctx)
		if err != nil {
			t.Fatal(err)
		}
		return conn
	}
	one, other := raw(""), raw("_pragma=busy_timeout(1)")
	run := func(c *sql.Conn, statement string) error {
		_, err := c.ExecContext(ctx, statement)
		return translate(ctx, err)
	}
	for _, step := range []struct {
		conn      *sql.Conn
		statement string
		want      error
	}{
		{one, "CREATE TABLE a (b TEXT UNIQUE CHECK (b <> '')) STRICT", nil},
		{one, "BEGIN IMMEDIATE", nil},
		{other, "BEGIN IMMEDIATE", store.ErrUnavailable},
		{one, "COMMIT", nil},
		{one, "INSERT INTO a VALUES ('x')", nil},
		{one, "INSERT INTO a VALUES ('x')", store.ErrConflict},
		{one, "INSERT INTO a VALUES ('')", store.ErrInvalid},
		{one, "INSERT INTO a VALUES (x'00')", store.ErrInvalid}, // STRICT
		{one, "PRAGMA max_page_count = 10", nil},
		{one, "INSERT INTO a VALUES (hex(zeroblob(1000000)))", store.ErrFull},
		{one, "PRAGMA query_only = on", nil},
		{one, "DELETE FROM a", store.ErrReadOnly},
	} {
		if err := run(step.conn, step.statement); !errors.Is(err, step.want) {
			t.Errorf("%s: found %v, want %v", step.statement, err, step.want)
		}
	}
}
