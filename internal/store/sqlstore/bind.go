package sqlstore

import (
	"database/sql/driver"
	"fmt"
	"reflect"
	"strings"
	"unicode/utf8"

	"rootcue/internal/store"
)

// bind turns an argument into what the driver takes. PostgreSQL refuses text
// that is not UTF-8 or holds a NUL and SQLite cuts it at the NUL; both refuse it here.
func (d dialect) bind(v any) (any, error) {
	switch v := v.(type) {
	case string: // most are
		return v, checkText(v)
	case store.Body:
		if err := checkText(string(v)); err != nil {
			return nil, err
		}
		return d.pack(v), nil
	}
	value, err := plain(v)
	if err != nil {
		return nil, err
	}
	if s, ok := value.(string); ok {
		return s, checkText(s)
	}
	return value, nil
}

// appendBound appends the bound values of a row.
func (d dialect) appendBound(bound, row []any) ([]any, error) {
	for _, v := range row {
		b, err := d.bind(v)
		if err != nil {
			return nil, err
		}
		bound = append(bound, b)
	}
	return bound, nil
}

func checkText(s string) error {
	if !utf8.ValidString(s) {
		return fmt.Errorf("%w: text is not UTF-8: %.60q", store.ErrInvalid, s)
	}
	if strings.IndexByte(s, 0) >= 0 {
		return fmt.Errorf("%w: text holds a NUL: %.60q", store.ErrInvalid, s)
	}
	return nil
}

// plain follows pointers and driver.Valuer to string, int64, float64, bool or nil.
func plain(v any) (any, error) {
	if p := reflect.ValueOf(v); p.Kind() == reflect.Pointer {
		if p.IsNil() {
			return nil, nil
		}
		return plain(p.Elem().Interface())
	}
	if valuer, ok := v.(driver.Valuer); ok {
		return valuer.Value()
	}
	if n, ok := v.(int); ok {
		return int64(n), nil
	}
	return v, nil
}
