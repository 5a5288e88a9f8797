package sqlstore

import (
	"bufio"
	"compress/gzip"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"

	"rootcue/internal/store"
)

// Backup implements store.Store. A file that is there already is not touched.
// The new one appears under its name only when it is whole; until then it has a
// name that nobody can foresee, for it holds data of children: only its owner
// reads it, and a link laid in its way leads nowhere.
func (d *DB) Backup(ctx context.Context, file string, work store.Work) error {
	if err := absent(file); err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(file), filepath.Base(file)+".*.part")
	if err != nil {
		return err
	}
	err = d.dump(ctx, f, work)
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err == nil {
		err = absent(file) // another may have come meanwhile
	}
	if err == nil {
		err = os.Rename(f.Name(), file)
	}
	if err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	return nil
}

func absent(file string) error {
	if _, err := os.Lstat(file); err == nil {
		return fmt.Errorf("backup %s: %w", file, os.ErrExist)
	}
	return nil
}

// dump writes everything as one reading transaction sees it.
func (d *DB) dump(ctx context.Context, to io.Writer, work store.Work) error {
	zip, err := gzip.NewWriterLevel(to, gzip.BestSpeed)
	if err != nil {
		return err
	}
	buffer := bufio.NewWriterSize(zip, 1<<16)
	lines := json.NewEncoder(buffer)
	lines.SetEscapeHTML(false)
	err = d.read(ctx, "", func(t *tx) error { return t.dump(ctx, lines, work) })
	return errors.Join(err, buffer.Flush(), zip.Close())
}

func (t *tx) dump(ctx context.Context, lines *json.Encoder, work store.Work) error {
	clubs, err := t.clubs(ctx, "ORDER BY id")
	if err != nil {
		return err
	}
	version, err := t.db.version(ctx)
	if err != nil {
		return err
	}
	if err := lines.Encode(archiveLine{Archive: archiveName, Format: archiveFormat, Schema: version, At: &t.now}); err != nil {
		return err
	}
	var rows int64
	for _, c := range clubs {
		if err := t.dumpClub(ctx, lines, c, work, &rows); err != nil {
			return err
		}
	}
	return lines.Encode(archiveLine{End: true, Rows: rows})
}

func (t *tx) dumpClub(ctx context.Context, lines *json.Encoder, c store.Club, work store.Work, rows *int64) error {
	if err := t.enter(ctx, c.ID); err != nil {
		return err
	}
	own := map[string]any{}
	for i, v := range fields(reflect.ValueOf(c)) {
		value, err := plain(v)
		if err != nil {
			return err
		}
		own[shapeOf(reflect.TypeFor[store.Club]()).columns[i]] = value
	}
	if err := lines.Encode(archiveLine{Club: &own}); err != nil {
		return err
	}
	for _, a := range append(tables, jobsOf(work)) {
		head := archiveLine{Table: a.table, Columns: a.shape.columns}
		for _, i := range a.shape.bodies {
			head.Bodies = append(head.Bodies, a.shape.columns[i])
		}
		if err := lines.Encode(head); err != nil {
			return err
		}
		err := a.each(ctx, t, func(row []any) error {
			*rows++
			for i := range row {
				var err error
				if row[i], err = plain(row[i]); err != nil {
					return err
				}
			}
			return lines.Encode(row)
		})
		if err != nil {
			return err
		}
	}
	return nil
}
