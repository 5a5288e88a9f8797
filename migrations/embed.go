// Package migrations holds the numbered SQL that makes the database, once for
// SQLite and once for PostgreSQL under the same numbers. There is no way down:
// a backup is.
package migrations

import "embed"

// SQLite and Postgres hold one migration a file, numbered alike.
var (
	//go:embed sqlite/*.sql
	SQLite embed.FS

	//go:embed postgres/*.sql
	Postgres embed.FS
)
