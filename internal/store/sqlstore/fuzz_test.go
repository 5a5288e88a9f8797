package sqlstore_test

import (
	"bytes"
	"compress/gzip"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"rootcue/internal/store"
	"rootcue/internal/store/sqlstore"
)

// A backup that anything has happened to is restored whole or not at all, and
// says what is wrong with it.
func FuzzRestore(f *testing.F) {
	db := newSQLite(f)
	if _, err := db.CreateClub(ctx, store.Club{Name: "Harbour"}, func(tx store.Tx) error {
		_, err := tx.PutPlayer(ctx, store.Player{Ref: "P-1"})
		return err
	}); err != nil {
		f.Fatal(err)
	}
	good := filepath.Join(f.TempDir(), "good")
	if err := db.Backup(ctx, good, nil); err != nil {
		f.Fatal(err)
	}
	packed, err := os.ReadFile(good)
	if err != nil {
		f.Fatal(err)
	}
	plain := unpacked(f, packed)
	f.Add(plain)
	f.Add(plain[:len(plain)/2])
	f.Add(bytes.Replace(plain, []byte(`"P-1"`), []byte(`{"a":[1e400]}`), 1))
	f.Add(bytes.Replace(plain, []byte(`"columns":["`), []byte(`"columns":["id; DROP TABLE clubs`), 1))
	root, made := f.TempDir(), 0
	fresh := func() *sqlstore.DB {
		made++
		db, err := sqlstore.Open(ctx, filepath.Join(root, strconv.Itoa(made)))
		if err == nil {
			err = db.Migrate(ctx)
		}
		if err != nil {
			f.Fatal(err)
		}
		return db
	}
	empty := fresh()
	f.Cleanup(func() { empty.Close() })
	f.Fuzz(func(t *testing.T, lines []byte) {
		file := filepath.Join(t.TempDir(), "backup")
		var b bytes.Buffer
		w, _ := gzip.NewWriterLevel(&b, gzip.NoCompression) // a known level cannot fail
		_, _ = w.Write(lines)                               // into memory
		_ = w.Close()
		if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		err := empty.Restore(ctx, file, nil)
		clubs, readErr := empty.Clubs(ctx)
		if readErr != nil {
			t.Fatal(readErr)
		}
		if err != nil && len(clubs) > 0 || err != nil && bytes.Equal(lines, plain) {
			t.Fatalf("%d clubs after %v", len(clubs), err)
		}
		if err == nil { // the next needs an empty one
			empty.Close()
			empty = fresh()
		}
	})
}

func unpacked(t testing.TB, packed []byte) []byte {
	t.Helper()
	zip, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		t.Fatal(err)
	}
	plain, err := io.ReadAll(zip)
	if err != nil {
		t.Fatal(err)
	}
	return plain
}
