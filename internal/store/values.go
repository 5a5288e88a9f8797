package store

import (
	"database/sql/driver"
	"encoding/json"
	"fmt"
	"time"
)

// timeLayout has a fixed width, so that the text sorts as the time does.
const timeLayout = "2006-01-02T15:04:05.000000Z"

// Time is a time in UTC to the microsecond. It is kept as fixed-width RFC 3339
// text in both databases.
type Time struct{ time.Time }

// At is t as the store keeps it.
func At(t time.Time) Time { return Time{t.UTC().Truncate(time.Microsecond)} }

// Ptr gives a pointer to t, for fields that may be absent.
func (t Time) Ptr() *Time { return &t }

// String is the stored form.
func (t Time) String() string { return t.UTC().Format(timeLayout) }

// Date is the UTC calendar date, YYYY-MM-DD.
func (t Time) Date() string { return t.UTC().Format(time.DateOnly) }

// Value implements driver.Valuer.
func (t Time) Value() (driver.Value, error) { return t.String(), nil }

// Scan implements sql.Scanner.
func (t *Time) Scan(src any) error {
	s, err := text(src)
	if err != nil {
		return err
	}
	parsed, err := time.Parse(timeLayout, s)
	if err != nil {
		return err
	}
	*t = Time{parsed}
	return nil
}

// Body is a large text kept to the byte: a canonical observation, an
// assessment, a rubric's source.
type Body []byte

// Value implements driver.Valuer.
func (b Body) Value() (driver.Value, error) { return string(b), nil }

// Scan implements sql.Scanner.
func (b *Body) Scan(src any) error {
	s, err := text(src)
	*b = Body(s)
	return err
}

// MarshalJSON gives a body that is JSON as it stands, any other as a string.
func (b Body) MarshalJSON() ([]byte, error) {
	if json.Valid(b) {
		return b, nil
	}
	return json.Marshal(string(b))
}

// JSON is a small JSON document in a column. Empty counts as {}.
type JSON []byte

// Value implements driver.Valuer; what is not JSON is an error.
func (j JSON) Value() (driver.Value, error) {
	if len(j) == 0 {
		return "{}", nil
	}
	if !json.Valid(j) {
		return nil, fmt.Errorf("%w: not JSON: %.60q", ErrInvalid, string(j))
	}
	return string(j), nil
}

// Scan implements sql.Scanner.
func (j *JSON) Scan(src any) error {
	s, err := text(src)
	*j = JSON(s)
	return err
}

// MarshalJSON gives the document itself.
func (j JSON) MarshalJSON() ([]byte, error) {
	if len(j) == 0 {
		return []byte("{}"), nil
	}
	return j, nil
}

// Strings is a list of words, kept as a JSON array.
type Strings []string

// Value implements driver.Valuer.
func (s Strings) Value() (driver.Value, error) { return jsonText([]string(s), "[]", s == nil) }

// Scan implements sql.Scanner.
func (s *Strings) Scan(src any) error { return scanJSON(src, (*[]string)(s)) }

// Measured is one measure of one assessment.
type Measured struct {
	Value float64 `json:"value"` // in Unit
	U     float64 `json:"u"`     // standard uncertainty, in Unit
	Unit  string  `json:"unit"`
	Reps  int     `json:"reps"` // how many reps speak
}

// Measures are an assessment's measures by name, kept as a JSON object.
type Measures map[string]Measured

// Value implements driver.Valuer.
func (m Measures) Value() (driver.Value, error) {
	return jsonText(map[string]Measured(m), "{}", m == nil)
}

// Scan implements sql.Scanner.
func (m *Measures) Scan(src any) error { return scanJSON(src, (*map[string]Measured)(m)) }

func jsonText(v any, none string, absent bool) (driver.Value, error) {
	if absent {
		return none, nil
	}
	b, err := json.Marshal(v)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrInvalid, err)
	}
	return string(b), nil
}

func scanJSON(src, into any) error {
	s, err := text(src)
	if err != nil {
		return err
	}
	return json.Unmarshal([]byte(s), into)
}

// text takes a column as the drivers give it: SQLite a string, PostgreSQL a
// string or bytes.
func text(src any) (string, error) {
	switch v := src.(type) {
	case string:
		return v, nil
	case []byte:
		return string(v), nil
	}
	return "", fmt.Errorf("want text from the database, found %T", src)
}
