package sqlstore

import (
	"bytes"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"slices"

	"rootcue/internal/store"
)

// values reads an array of so many strings, numbers, truths and nulls, one by
// one: a million brackets in a line do not become a million slices.
func values(raw []byte, n int) ([]any, error) {
	d := json.NewDecoder(bytes.NewReader(raw))
	d.UseNumber()
	_, err := d.Token() // the bracket that the line begins with
	row := make([]any, 0, n)
	for err == nil && d.More() {
		var v json.Token
		if v, err = d.Token(); err == nil {
			if _, nested := v.(json.Delim); nested || len(row) == n {
				return nil, fmt.Errorf("value %d is one too many, or no plain one", len(row)+1)
			}
			row = append(row, number(v))
		}
	}
	if err == nil {
		_, err = d.Token()
	}
	switch {
	case err != nil:
		return nil, err
	case len(row) < n:
		return nil, fmt.Errorf("%d values", len(row))
	case len(bytes.TrimSpace(raw[d.InputOffset():])) > 0:
		return nil, errors.New("more behind its end")
	}
	return row, nil
}

func decode(raw []byte, into any) error {
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

// known refuses names that are no columns of the shape, and one that comes
// twice; what it lets pass is safe within SQL.
func known(names []string, s shape) error {
	for i, n := range names {
		if !slices.Contains(s.columns, n) || slices.Contains(names[:i], n) {
			return fmt.Errorf("no such column, or twice: %.60q", n)
		}
	}
	if len(names) == 0 {
		return errors.New("no columns")
	}
	return nil
}

// readable makes sure of a value that reading its row later does not fail. What
// is no Scanner is a number, a truth or a plain text, at which the database looks
// itself; a body comes as what its column takes.
func readable(v any, column string, s shape) (any, error) {
	as := s.types[slices.Index(s.columns, column)]
	if as.Kind() == reflect.Pointer {
		if as = as.Elem(); v == nil {
			return nil, nil
		}
	}
	field := reflect.New(as).Interface()
	if scanner, ok := field.(sql.Scanner); ok {
		if err := scanner.Scan(v); err != nil {
			return nil, fmt.Errorf("%w: %s: %w", store.ErrDamaged, column, err)
		}
	}
	switch f := field.(type) {
	case *store.Body:
		return *f, nil
	case *store.JSON:
		if _, err := f.Value(); err != nil {
			return nil, fmt.Errorf("%s: %w", column, err)
		}
	}
	return v, nil
}
