package sqlstore

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"rootcue/internal/store"
)

// rowsAtOnce is how many rows of a table go into the database together.
const rowsAtOnce = 500

// restorer reads a backup line by line.
type restorer struct {
	lines   *json.Decoder
	work    store.Work
	schema  int64
	table   string
	columns []string
	bodies  []int
	rows    [][]any // read, not yet in the database
	total   int64
}

func (r *restorer) header() error {
	var head archiveLine
	if err := r.lines.Decode(&head); err != nil || head.Archive != archiveName {
		return fmt.Errorf("%w: want a backup made by rootcue", store.ErrDamaged)
	}
	if head.Format < 1 {
		return fmt.Errorf("%w: the backup has format %d", store.ErrDamaged, head.Format)
	}
	if head.Format > archiveFormat {
		return fmt.Errorf("%w: the backup has format %d, this program knows %d", store.ErrNewerSchema, head.Format, archiveFormat)
	}
	r.schema = head.Schema
	return nil
}

func (r *restorer) load(ctx context.Context, t *tx) error {
	for {
		var raw json.RawMessage
		if err := r.lines.Decode(&raw); err != nil {
			return fmt.Errorf("%w: the backup is cut short or damaged after %d rows: %w", store.ErrDamaged, r.total, err)
		}
		if bytes.HasPrefix(raw, []byte("[")) {
			if err := r.row(ctx, t, raw); err != nil {
				return err
			}
			continue
		}
		if err := r.flush(ctx, t); err != nil {
			return err
		}
		var line archiveLine
		if err := decode(raw, &line); err != nil {
			return err
		}
		if line.End {
			return r.end(line)
		}
		if err := r.head(ctx, t, line); err != nil {
			return err
		}
	}
}

// end holds the count against the rows read, and reads on to the end of the
// file, where gzip has its checksum.
func (r *restorer) end(line archiveLine) error {
	if line.Rows != r.total {
		return fmt.Errorf("%w: the backup says %d rows and has %d", store.ErrDamaged, line.Rows, r.total)
	}
	if err := r.lines.Decode(new(json.RawMessage)); !errors.Is(err, io.EOF) {
		return fmt.Errorf("%w: want the end of the backup: %v", store.ErrDamaged, err)
	}
	return nil
}

// head begins a club or a table.
func (r *restorer) head(ctx context.Context, t *tx, line archiveLine) error {
	if line.Club != nil {
		return r.club(ctx, t, *line.Club)
	}
	known := line.Table == jobsTable || slices.ContainsFunc(tables, func(a archived) bool { return a.table == line.Table })
	if !known || !words(line.Columns) {
		return fmt.Errorf("%w: no such table in a backup: %.60q", store.ErrDamaged, line.Table)
	}
	r.table, r.columns, r.bodies = line.Table, line.Columns, nil
	for _, b := range line.Bodies {
		r.bodies = append(r.bodies, slices.Index(line.Columns, b))
	}
	if slices.Contains(r.bodies, -1) {
		return fmt.Errorf("%w: table %s names a body that is no column", store.ErrDamaged, line.Table)
	}
	return nil
}

func (r *restorer) club(ctx context.Context, t *tx, row map[string]any) error {
	id, ok := row["id"].(string)
	if !ok {
		return fmt.Errorf("%w: a club without id", store.ErrDamaged)
	}
	if err := t.enter(ctx, id); err != nil {
		return err
	}
	var columns []string
	var values []any
	for column, value := range row {
		columns, values = append(columns, column), append(values, number(value))
	}
	if !words(columns) {
		return fmt.Errorf("%w: columns of a club: %.200q", store.ErrDamaged, columns)
	}
	marks := strings.Repeat("?, ", len(columns)-1) + "?"
	_, err := t.exec(ctx, "INSERT INTO clubs ("+strings.Join(columns, ", ")+") VALUES ("+marks+")", values...)
	return err
}

func (r *restorer) row(ctx context.Context, t *tx, raw json.RawMessage) error {
	var row []any
	if err := decode(raw, &row); err != nil {
		return err
	}
	if r.table == "" || len(row) != len(r.columns) {
		return fmt.Errorf("%w: row %d of the backup has %d values, table %q has %d columns", store.ErrDamaged, r.total+1, len(row), r.table, len(r.columns))
	}
	for i := range row {
		row[i] = number(row[i])
	}
	for _, i := range r.bodies {
		if s, ok := row[i].(string); ok {
			row[i] = store.Body(s)
		}
	}
	r.total++
	if r.rows = append(r.rows, row); len(r.rows) < rowsAtOnce {
		return nil
	}
	return r.flush(ctx, t)
}

func (r *restorer) flush(ctx context.Context, t *tx) error {
	rows := r.rows
	r.rows = nil
	if r.table == jobsTable {
		return r.resume(ctx, t, rows)
	}
	return t.insertValues(ctx, r.table, r.columns, rows, "")
}

func decode(raw json.RawMessage, into any) error {
	d := json.NewDecoder(bytes.NewReader(raw))
	d.UseNumber()
	if err := d.Decode(into); err != nil {
		return fmt.Errorf("%w: line of the backup: %w", store.ErrDamaged, err)
	}
	return nil
}

// number gives a JSON number as a whole one where it is one.
func number(v any) any {
	n, ok := v.(json.Number)
	if !ok {
		return v
	}
	if whole, err := n.Int64(); err == nil {
		return whole
	}
	f, err := n.Float64()
	if err != nil {
		return n.String() // the database refuses it with its column's name
	}
	return f
}

// words tells whether all names are such as the schema has, safe within SQL.
func words(names []string) bool {
	for _, n := range names {
		if n == "" || strings.Trim(n, "abcdefghijklmnopqrstuvwxyz_0123456789") != "" {
			return false
		}
	}
	return len(names) > 0
}
