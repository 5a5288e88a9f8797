package sqlstore

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"slices"
	"testing"

	"rootcue/internal/store"
	"rootcue/internal/store/storetest"
)

// Lines of a backup that anything has happened to are read into an open
// database, which costs no more than a transaction undone. What is wrong with
// them is said in the words for a bad file, never in those for a failing
// database; what they bring, when nothing is wrong, can be backed up again.
func FuzzRestore(f *testing.F) {
	ctx := context.Background()
	from, to := openInternal(f), openInternal(f)
	club := storetest.NewClub(f, from, "Alder")
	storetest.Everything(f, from, club, "P-1")
	good := dumped(f, from)
	f.Add(good)
	f.Add(good[:len(good)/2])
	for _, slip := range [][2]string{
		{`"P-1"`, `{"a":[1e400]}`}, {`"P-1"`, `"P-1\u0000"`}, {`"P-1"`, `1e400`}, {`163.5`, `"tall"`},
		{`Z",`, `",`}, {`Z"]`, `"]`}, {`{\"in\":true}`, `{in`}, {`[\"u14\"]`, `u14`},
		{`"columns":["`, `"columns":["id; DROP TABLE clubs`}, {`"bodies":["`, `"bodies":["id","`}, {`"format":2`, `"format":3`},
		{`{"end"`, `{"table":"jobs","columns":["id","kind","args"]}` + "\n" + `["a","b",1]` + "\n" + `{"end"`},
		{`{"end"`, `{"club":{"id":"b"}}` + "\n" + `{"end"`},
	} {
		bad := bytes.Replace(good, []byte(slip[0]), []byte(slip[1]), 1)
		if bytes.Equal(bad, good) {
			f.Fatalf("no %s in a backup", slip[0])
		}
		f.Add(bad)
	}
	words := []error{store.ErrDamaged, store.ErrInvalid, store.ErrConflict, store.ErrNewerSchema}
	undone := errors.New("undone")
	f.Fuzz(func(t *testing.T, lines []byte) {
		err := to.write(ctx, "", func(tx *tx) error {
			r := newRestorer(bytes.NewReader(lines), nil)
			if err := r.header(); err != nil {
				return err
			}
			if err := r.load(ctx, tx); err != nil {
				return err
			}
			var again bytes.Buffer
			if err := tx.dump(ctx, json.NewEncoder(&again), nil); err != nil {
				t.Errorf("it cannot be backed up again: %v", err)
			}
			return undone
		})
		switch {
		case bytes.Equal(lines, good) && !errors.Is(err, undone):
			t.Errorf("a good backup: %v", err)
		case !errors.Is(err, undone) && !slices.ContainsFunc(words, func(word error) bool { return errors.Is(err, word) }):
			t.Errorf("not said to be the file's fault: %v", err)
		}
	})
}

// dumped are the lines of a backup.
func dumped(t testing.TB, db *DB) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := db.read(t.Context(), "", func(tx *tx) error { return tx.dump(t.Context(), json.NewEncoder(&b), nil) }); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
