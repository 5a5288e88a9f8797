package sqlstore

import "github.com/jmoiron/sqlx"

// dialect is the kind of database; its methods hold the words that differ.
type dialect int

const (
	sqlite dialect = iota
	postgres
)

func init() { sqlx.BindDriver("sqlite", sqlx.QUESTION) }

// contains is a condition: column holds the text of the placeholder.
func (d dialect) contains(column string) string {
	if d == postgres {
		return "strpos(" + column + ", ?) > 0"
	}
	return "instr(" + column + ", ?) > 0"
}

// member is the text that a column's JSON object has under the key of the
// placeholder.
func (d dialect) member(column string) string {
	if d == postgres {
		return column + "::json ->> ?::text"
	}
	return column + " ->> ?"
}

// forUpdate keeps other writers of a row waiting. SQLite has one writer anyway;
// NO KEY lets rows that refer to it in meanwhile.
func (d dialect) forUpdate() string {
	if d == postgres {
		return " FOR NO KEY UPDATE"
	}
	return ""
}

// forDelete keeps out new rows that refer to a row, until it is gone.
func (d dialect) forDelete() string {
	if d == postgres {
		return " FOR UPDATE"
	}
	return ""
}

// hasTable asks for the number of tables with a name.
func (d dialect) hasTable() string {
	if d == postgres {
		return "SELECT count(*) FROM pg_catalog.pg_class WHERE oid = to_regclass(?)"
	}
	return "SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name = ?"
}
