package migrations_test

import (
	"context"
	"database/sql"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rootcue/internal/store/sqlstore"
	"rootcue/internal/store/storetest"
	"rootcue/migrations"
)

var update = flag.Bool("update", false, "write the schemas found as the ones wanted")

func TestMain(m *testing.M) { flag.Parse(); storetest.Main(m) }

// Both databases have the same steps under the same numbers, without a gap.
func TestSameNumbers(t *testing.T) {
	names := func(files fs.FS, dir string) (names []string) {
		entries, err := fs.ReadDir(files, dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			names = append(names, e.Name())
		}
		return names
	}
	lite, pg := names(migrations.SQLite, "sqlite"), names(migrations.Postgres, "postgres")
	if diff := cmp.Diff(lite, pg); diff != "" {
		t.Fatalf("SQLite - and PostgreSQL +:\n%s", diff)
	}
	for i, name := range lite {
		if want := fmt.Sprintf("%05d_", i+1); !strings.HasPrefix(name, want) {
			t.Errorf("found %s, want %s…", name, want)
		}
	}
	if got := sqlstore.SchemaVersion(); got != int64(len(lite)) {
		t.Errorf("found version %d, want %d", got, len(lite))
	}
}

// The schema that the steps add up to, in a form to be read and compared. A
// migration shows here as what it changes.
func TestSchemas(t *testing.T) {
	for _, c := range []struct{ name, url, ask string }{
		{"sqlite", filepath.Join(t.TempDir(), "club.db"), askSQLite},
		{"postgres", storetest.Postgres(t), askPostgres},
	} {
		t.Run(c.name, func(t *testing.T) {
			db, err := sqlstore.Open(context.Background(), c.url)
			if err != nil {
				t.Fatal(err)
			}
			defer db.Close()
			if err := db.Migrate(context.Background()); err != nil {
				t.Fatal(err)
			}
			golden(t, path.Join("testdata/schema", c.name+".sql"), lines(t, db.Writer(), c.ask))
		})
	}
}

func golden(t *testing.T, file, found string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, []byte(found), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(found, "\n")); diff != "" {
		t.Errorf("%s: wanted - and found + (go test ./migrations -update writes it anew):\n%s", file, diff)
	}
}

func lines(t *testing.T, db *sql.DB, ask string) string {
	t.Helper()
	rows, err := db.Query(ask)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	var b strings.Builder
	for rows.Next() {
		var line string
		if err := rows.Scan(&line); err != nil {
			t.Fatal(err)
		}
		b.WriteString(strings.TrimRight(line, " \n") + "\n")
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

const askSQLite = `SELECT sql || ';' FROM sqlite_master
	WHERE sql IS NOT NULL AND tbl_name <> 'schema_version' AND name NOT LIKE 'sqlite_%' ORDER BY tbl_name, type = 'table' DESC, name`

// Of PostgreSQL the catalogue, since what pg_dump writes differs by version.
const askPostgres = `
WITH t AS (
  SELECT oid, relname FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace AND relname <> 'schema_version'
)
SELECT line FROM (
  SELECT relname, 0 AS part, attnum::int AS n, '' AS name, relname || '.' || attname || ' ' || format_type(atttypid, atttypmod)
      || CASE WHEN attcollation = '"C"'::regcollation THEN ' COLLATE "C"' ELSE '' END
      || CASE attcompression WHEN 'l' THEN ' COMPRESSION lz4' ELSE '' END || CASE WHEN attnotnull THEN ' NOT NULL' ELSE '' END AS line
    FROM t JOIN pg_attribute ON attrelid = t.oid WHERE attnum > 0 AND NOT attisdropped
  UNION ALL
  SELECT relname, 1, 0, conname, relname || ': ' || conname || ' ' || pg_get_constraintdef(c.oid)
    FROM t JOIN pg_constraint c ON conrelid = t.oid WHERE contype <> 'n'
  UNION ALL
  SELECT relname, 2, 0, indexname, indexdef FROM t JOIN pg_indexes ON tablename = relname AND schemaname = 'public'
  UNION ALL
  SELECT relname, 3, 0, polname, relname || ': POLICY ' || polname || ' ' || polcmd::text || ' USING ' || pg_get_expr(polqual, polrelid)
    FROM t JOIN pg_policy ON polrelid = t.oid
  UNION ALL
  SELECT relname, 4, 0, tgname, pg_get_triggerdef(g.oid) FROM t JOIN pg_trigger g ON tgrelid = t.oid WHERE NOT tgisinternal
) AS everything ORDER BY relname COLLATE "C", part, n, name COLLATE "C"`
