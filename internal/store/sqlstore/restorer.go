package sqlstore

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"reflect"
	"slices"
	"strings"

	"rootcue/internal/store"
)

// Rows of a table go into the database together until they are so many or so
// many bytes. Nothing that a club can store makes a line as long as the last of
// these: a longer one is damage, and is not read into memory.
const (
	rowsAtOnce  = 500
	bytesAtOnce = 16 << 20
	mostLine    = 64 << 20
)

// restorer reads a backup line by line.
type restorer struct {
	lines   *bufio.Scanner
	work    store.Work
	schema  int64
	table   string
	shape   shape // of its rows
	columns []string
	rows    [][]any // read, not yet in the database
	bytes   int     // of them
	total   int64
}

func newRestorer(from io.Reader, work store.Work) *restorer {
	lines := bufio.NewScanner(from)
	lines.Buffer(nil, mostLine)
	return &restorer{lines: lines, work: work}
}

func (r *restorer) header() error {
	var head archiveLine
	if !r.lines.Scan() || json.Unmarshal(r.lines.Bytes(), &head) != nil || head.Archive != archiveName {
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
	for r.lines.Scan() {
		raw := r.lines.Bytes()
		if bytes.HasPrefix(raw, []byte("[")) {
			if err := r.row(ctx, t, raw); err != nil {
				return err
			}
			continue
		}
		if err := r.endTable(ctx, t); err != nil {
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
	return r.cutShort()
}

// cutShort is why there is no line where one is wanted.
func (r *restorer) cutShort() error {
	switch err := r.lines.Err(); {
	case errors.Is(err, bufio.ErrTooLong):
		return fmt.Errorf("%w: a line longer than %d MiB after %d rows of the backup", store.ErrDamaged, mostLine>>20, r.total)
	case err != nil:
		return fmt.Errorf("%w: the backup is cut short or damaged after %d rows: %w", store.ErrDamaged, r.total, err)
	}
	return fmt.Errorf("%w: the backup is cut short after %d rows", store.ErrDamaged, r.total)
}

// end holds the count against the rows read, and reads on to the end of the
// file, where gzip has its checksum.
func (r *restorer) end(line archiveLine) error {
	if line.Rows != r.total {
		return fmt.Errorf("%w: the backup says %d rows and has %d", store.ErrDamaged, line.Rows, r.total)
	}
	if r.lines.Scan() {
		return fmt.Errorf("%w: want the end of the backup, found %.60q", store.ErrDamaged, r.lines.Bytes())
	}
	if r.lines.Err() != nil {
		return r.cutShort()
	}
	return nil
}

// head begins a club or a table.
func (r *restorer) head(ctx context.Context, t *tx, line archiveLine) error {
	if line.Club != nil {
		return r.club(ctx, t, *line.Club)
	}
	all := append(slices.Clip(tables), jobsOf(r.work))
	i := slices.IndexFunc(all, func(a archived) bool { return a.table == line.Table })
	if i < 0 || t.club == "" {
		return fmt.Errorf("%w: no such table in a backup, or before any club: %.60q", store.ErrDamaged, line.Table)
	}
	if err := known(line.Columns, all[i].shape); err != nil {
		return fmt.Errorf("%w: table %s: %w", store.ErrDamaged, line.Table, err)
	}
	r.table, r.shape, r.columns = line.Table, all[i].shape, line.Columns
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
	r.table = "" // its tables follow
	own, columns := shapeOf(reflect.TypeFor[store.Club]()), slices.Collect(maps.Keys(row))
	if err := known(columns, own); err != nil {
		return fmt.Errorf("%w: a club: %w", store.ErrDamaged, err)
	}
	var values []any
	for _, column := range columns {
		switch row[column].(type) {
		case []any, map[string]any:
			return fmt.Errorf("%w: club %.60q has no plain value for %.60q", store.ErrDamaged, id, column)
		}
		value, err := readable(number(row[column]), column, own)
		if err != nil {
			return fmt.Errorf("club %.60q: %w", id, err)
		}
		values = append(values, value)
	}
	marks := strings.Repeat("?, ", len(columns)-1) + "?"
	_, err := t.exec(ctx, "INSERT INTO clubs ("+strings.Join(columns, ", ")+") VALUES ("+marks+")", values...)
	return err
}

func (r *restorer) row(ctx context.Context, t *tx, raw []byte) error {
	if r.table == "" {
		return fmt.Errorf("%w: a row of the backup before any table", store.ErrDamaged)
	}
	row, err := values(raw, len(r.columns))
	if err != nil {
		return fmt.Errorf("%w: row %d of the backup, want %d values for table %s: %w", store.ErrDamaged, r.total+1, len(r.columns), r.table, err)
	}
	for i, column := range r.columns {
		if row[i], err = readable(row[i], column, r.shape); err != nil {
			return fmt.Errorf("row %d of the backup, for table %s: %w", r.total+1, r.table, err)
		}
	}
	r.total++
	r.rows, r.bytes = append(r.rows, row), r.bytes+len(raw)
	if len(r.rows) < rowsAtOnce && r.bytes < bytesAtOnce {
		return nil
	}
	return r.flush(ctx, t)
}

func (r *restorer) flush(ctx context.Context, t *tx) error {
	rows := r.rows
	r.rows, r.bytes = nil, 0
	if r.table == jobsTable {
		return r.resume(ctx, t, rows)
	}
	return t.insertValues(ctx, r.table, r.columns, rows, "")
}

// endTable puts in the rest of a table. Messages are asked for with the
// transaction that brings them, or a restore that is killed after it loses them.
func (r *restorer) endTable(ctx context.Context, t *tx) error {
	if err := r.flush(ctx, t); err != nil {
		return err
	}
	if r.table != deliveriesTable || r.work == nil {
		return nil
	}
	return r.work.Send(ctx, t)
}
