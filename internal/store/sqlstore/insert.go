package sqlstore

import (
	"context"
	"reflect"
	"slices"
	"strings"
)

// A statement holds at most this many values; SQLite's bound is 32766,
// PostgreSQL's 65535, and longer statements gain nothing.
const valuesPerInsert = 1000

// From this many rows on PostgreSQL takes them by COPY.
const copyFrom = 32

// insert adds rows to a table. The rest is what follows VALUES, such as ON
// CONFLICT.
func insert[T any](ctx context.Context, t *tx, table, rest string, rows ...T) error {
	values := make([][]any, len(rows))
	for i := range rows {
		values[i] = fields(reflect.ValueOf(&rows[i]).Elem())
	}
	return t.insertValues(ctx, table, shapeOf(reflect.TypeFor[T]()).columns, values, rest)
}

func fields(row reflect.Value) []any {
	values := make([]any, row.NumField())
	for i := range values {
		values[i] = row.Field(i).Interface()
	}
	return values
}

func (t *tx) insertValues(ctx context.Context, table string, columns []string, rows [][]any, rest string) error {
	columns = append([]string{"club_id"}, columns...)
	for i, row := range rows {
		rows[i] = append([]any{t.club}, row...)
	}
	if t.db.dialect == postgres && len(rows) >= copyFrom {
		return t.copyValues(ctx, table, columns, rows, rest)
	}
	tuple := "(" + strings.Repeat("?, ", len(columns)-1) + "?)"
	statement := func(rows int) string {
		return "INSERT INTO " + table + " (" + strings.Join(columns, ", ") + ") VALUES " + strings.Repeat(tuple+", ", rows-1) + tuple + " " + rest
	}
	atOnce := max(1, valuesPerInsert/len(columns))
	if len(rows) >= 2*atOnce {
		whole := len(rows) - len(rows)%atOnce
		if err := t.insertChunks(ctx, statement(atOnce), rows[:whole], atOnce); err != nil {
			return err
		}
		rows = rows[whole:]
	}
	for chunk := range slices.Chunk(rows, atOnce) {
		if _, err := t.exec(ctx, statement(len(chunk)), slices.Concat(chunk...)...); err != nil {
			return err
		}
	}
	return nil
}

// insertChunks runs one prepared statement for every so many rows.
func (t *tx) insertChunks(ctx context.Context, sql string, rows [][]any, atOnce int) error {
	stmt, err := t.sx.PrepareContext(ctx, t.sx.Rebind(sql))
	if err != nil {
		return translate(ctx, err)
	}
	defer stmt.Close()
	bound := make([]any, 0, atOnce*len(rows[0]))
	for chunk := range slices.Chunk(rows, atOnce) {
		bound = bound[:0]
		for _, row := range chunk {
			if bound, err = t.db.dialect.appendBound(bound, row); err != nil {
				return err
			}
		}
		if _, err := stmt.ExecContext(ctx, bound...); err != nil {
			return translate(ctx, err)
		}
	}
	return nil
}

// copyValues goes by COPY into a temporary table and from there into its own:
// PostgreSQL does not COPY into a table under row security, and COPY knows no
// ON CONFLICT.
func (t *tx) copyValues(ctx context.Context, table string, columns []string, rows [][]any, rest string) error {
	stage, names := "stage_"+table, strings.Join(columns, ", ")
	prepare := "CREATE TEMPORARY TABLE IF NOT EXISTS " + stage + " (LIKE " + table + " INCLUDING COMPRESSION) ON COMMIT DELETE ROWS"
	if _, err := t.exec(ctx, prepare); err != nil {
		return err
	}
	if !slices.Contains(t.copied, table) {
		t.copied = append(t.copied, table)
	} else if _, err := t.exec(ctx, "TRUNCATE "+stage); err != nil { // it has the rows of before
		return err
	}
	if err := t.copyIn(ctx, "COPY "+stage+" ("+names+") FROM STDIN", rows); err != nil {
		return translate(ctx, err)
	}
	_, err := t.exec(ctx, "INSERT INTO "+table+" ("+names+") SELECT "+names+" FROM "+stage+" "+rest)
	return err
}

func (t *tx) copyIn(ctx context.Context, sql string, rows [][]any) error {
	stmt, err := t.sx.PrepareContext(ctx, sql)
	if err != nil {
		return err
	}
	defer stmt.Close()
	bound := make([]any, 0, 32)
	for _, row := range rows {
		if bound, err = t.db.dialect.appendBound(bound[:0], row); err != nil {
			return err
		}
		if _, err := stmt.ExecContext(ctx, bound...); err != nil {
			return err
		}
	}
	_, err = stmt.ExecContext(ctx) // sends the rest and ends the copy
	return err
}
