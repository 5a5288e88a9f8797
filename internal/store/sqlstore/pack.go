package sqlstore

import (
	"fmt"
	"reflect"

	"github.com/klauspost/compress/s2"

	"rootcue/internal/store"
)

// pack gives a body as its column takes it. PostgreSQL compresses by itself
// (lz4); SQLite does not, and writing fewer pages is worth more than the
// compression costs: s2 is of the same family.
func (d dialect) pack(b store.Body) any {
	if d == postgres {
		return string(b)
	}
	return s2.Encode(nil, b)
}

// unpack undoes pack in the fields of one scanned row.
func (d dialect) unpack(row reflect.Value, bodies []int) error {
	if d == postgres {
		return nil
	}
	for _, i := range bodies {
		f := row.Field(i)
		raw, err := s2.Decode(nil, f.Bytes())
		if err != nil {
			return fmt.Errorf("%w: stored body: %w", store.ErrDamaged, err)
		}
		f.SetBytes(raw)
	}
	return nil
}
