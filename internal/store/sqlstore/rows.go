package sqlstore

import (
	"cmp"
	"context"
	dbsql "database/sql"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"sync"

	"github.com/jmoiron/sqlx"

	"rootcue/internal/store"
)

// shape is what a row struct says of its table: the db tags in order. The
// column club_id is in no struct: every statement below adds it.
type shape struct {
	columns []string
	types   []reflect.Type
	bodies  []int // fields of type store.Body
}

var shapes sync.Map // reflect.Type to shape

func shapeOf(t reflect.Type) shape {
	if s, ok := shapes.Load(t); ok {
		return s.(shape)
	}
	var s shape
	for i := range t.NumField() {
		s.columns = append(s.columns, t.Field(i).Tag.Get("db"))
		s.types = append(s.types, t.Field(i).Type)
		if t.Field(i).Type == reflect.TypeFor[store.Body]() {
			s.bodies = append(s.bodies, i)
		}
	}
	shapes.Store(t, s)
	return s
}

// query runs a SELECT. Lists among the arguments unfold into IN (?).
func (t *tx) query(ctx context.Context, sql string, args ...any) (*sqlx.Rows, error) {
	sql, args, err := t.statement(sql, args)
	if err != nil {
		return nil, err
	}
	var rows *sqlx.Rows
	if stmt := t.kept(ctx, sql); stmt != nil {
		rows, err = stmt.QueryxContext(ctx, args...)
	} else {
		rows, err = t.sx.QueryxContext(ctx, sql, args...)
	}
	return rows, translate(ctx, err)
}

// exec runs a statement and gives the number of rows it touched.
func (t *tx) exec(ctx context.Context, sql string, args ...any) (int64, error) {
	sql, args, err := t.statement(sql, args)
	if err != nil {
		return 0, err
	}
	var result dbsql.Result
	if stmt := t.kept(ctx, sql); stmt != nil {
		result, err = stmt.ExecContext(ctx, args...)
	} else {
		result, err = t.sx.ExecContext(ctx, sql, args...)
	}
	if err != nil {
		return 0, translate(ctx, err)
	}
	n, err := result.RowsAffected()
	return n, translate(ctx, err)
}

// kept is a statement that the pool keeps, in this transaction.
func (t *tx) kept(ctx context.Context, sql string) *sqlx.Stmt {
	if stmt := t.pool.statement(sql); stmt != nil {
		return t.sx.StmtxContext(ctx, stmt)
	}
	return nil
}

// value reads the one row of a SELECT.
func (t *tx) value(ctx context.Context, sql string, args []any, into ...any) error {
	rows, err := t.query(ctx, sql, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	if !rows.Next() {
		return translate(ctx, cmp.Or(rows.Err(), dbsql.ErrNoRows))
	}
	return translate(ctx, cmp.Or(rows.Scan(into...), rows.Close()))
}

// statement makes a statement of the driver's: @club is the club, a list as an
// argument as many placeholders as it is long.
func (t *tx) statement(sql string, args []any) (string, []any, error) {
	for before, after, found := strings.Cut(sql, "@club"); found; before, after, found = strings.Cut(sql, "@club") {
		args = slices.Insert(slices.Clone(args), strings.Count(before, "?"), any(t.club))
		sql = before + "?" + after
	}
	for _, a := range args {
		if _, ok := a.([]string); ok {
			var err error
			if sql, args, err = sqlx.In(sql, args...); err != nil {
				return "", nil, err
			}
			break
		}
	}
	bound, err := t.db.dialect.appendBound(make([]any, 0, len(args)), args)
	return t.sx.Rebind(sql), bound, err
}

// each hands over the club's rows of a table one by one. rest goes on after
// WHERE club_id = ?: a condition that starts with AND, an order, a limit.
func each[T any](ctx context.Context, t *tx, table, rest string, args []any, do func(T) error) error {
	s := shapeOf(reflect.TypeFor[T]())
	sql := "SELECT " + strings.Join(s.columns, ", ") + " FROM " + table + " WHERE club_id = ? " + rest
	return scan(ctx, t, sql, append([]any{t.club}, args...), do)
}

func scan[T any](ctx context.Context, t *tx, sql string, args []any, do func(T) error) error {
	rows, err := t.query(ctx, sql, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	s := shapeOf(reflect.TypeFor[T]())
	for rows.Next() {
		var row T
		if err := rows.StructScan(&row); err != nil {
			return translate(ctx, err)
		}
		if err := t.db.dialect.unpack(reflect.ValueOf(&row).Elem(), s.bodies); err != nil {
			return err
		}
		if err := do(row); err != nil {
			return err
		}
	}
	return translate(ctx, rows.Err())
}

// list gives the club's rows of a table; never nil.
func list[T any](ctx context.Context, t *tx, table, rest string, args ...any) ([]T, error) {
	all := []T{}
	err := each(ctx, t, table, rest, args, into(&all))
	return all, err
}

// collect gives the rows of a whole statement; never nil.
func collect[T any](ctx context.Context, t *tx, sql string, args []any) ([]T, error) {
	all := []T{}
	err := scan(ctx, t, sql, args, into(&all))
	return all, err
}

func into[T any](all *[]T) func(T) error {
	return func(row T) error {
		*all = append(*all, row)
		return nil
	}
}

// one gives the row that a condition names, else ErrNotFound.
func one[T any](ctx context.Context, t *tx, table, rest string, args ...any) (T, error) {
	rows, err := list[T](ctx, t, table, rest+" LIMIT 1", args...)
	if err == nil && len(rows) == 0 {
		err = fmt.Errorf("%w in %s: %v", store.ErrNotFound, table, args)
	}
	if err != nil {
		var none T
		return none, err
	}
	return rows[0], nil
}

// ids gives only the ids of the club's rows of a table.
func (t *tx) ids(ctx context.Context, table, rest string, args ...any) (ids []string, err error) {
	rows, err := t.query(ctx, "SELECT id FROM "+table+" WHERE club_id = ? "+rest, append([]any{t.club}, args...)...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var id string
		if err := rows.Scan(&id); err != nil {
			return nil, translate(ctx, err)
		}
		ids = append(ids, id)
	}
	return ids, translate(ctx, rows.Err())
}

// update sets columns where a condition holds; no row at all is ErrNotFound.
func (t *tx) update(ctx context.Context, table, set, where string, args ...any) error {
	// The club's placeholder comes last: its value follows the caller's.
	n, err := t.exec(ctx, "UPDATE "+table+" SET "+set+" WHERE "+where+" AND club_id = ?", append(args, t.club)...)
	if err == nil && n == 0 {
		err = fmt.Errorf("%w in %s: %v", store.ErrNotFound, table, args[len(args)-1])
	}
	return err
}

// remove deletes the club's rows of a table for which a condition holds.
func (t *tx) remove(ctx context.Context, table, where string, args ...any) (int64, error) {
	return t.exec(ctx, "DELETE FROM "+table+" WHERE "+where+" AND club_id = ?", append(args, t.club)...)
}
