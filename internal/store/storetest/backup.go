package storetest

import (
	"compress/gzip"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rootcue/internal/store"
)

// RunBackup tests that what one kind of database backs up the other restores.
func RunBackup(t *testing.T, from, to Opener) {
	t.Run("all comes back", func(t *testing.T) { backupWhole(t, from(t), to) })
	t.Run("while writing", func(t *testing.T) { backupWhileWriting(t, from(t), to(t)) })
	t.Run("refused", func(t *testing.T) { backupRefused(t, from(t), to) })
}

func backupWhole(t *testing.T, s store.Store, to Opener) {
	alder, birch := NewClub(t, s, "Alder"), NewClub(t, s, "Birch")
	Everything(t, s, alder, "P-1")
	Everything(t, s, alder, "é \"2\"")
	Everything(t, s, birch, "P-1")
	do(t, s, alder, func(tx store.Tx) {
		must(tx.Publish(ctx, store.Document{Kind: store.KindRubric, Name: "blocking", Source: store.Body("a: <b>\n\ttab \u2028 \U0001F945\n")}, 0))(t)
		ok(t, tx.AddSession(ctx, store.Session{Hash: Hash("s"), KeyID: must(tx.Keys(ctx))(t)[0].ID, Expires: later()}))
	})
	file := filepath.Join(t.TempDir(), "backup")
	ok(t, s.Backup(ctx, file, nil))
	info := must(os.Stat(file))(t)
	same(t, info.Mode().Perm(), os.FileMode(0o600))
	back := to(t)
	ok(t, back.Restore(ctx, file, nil))
	same(t, must(back.Clubs(ctx))(t), must(s.Clubs(ctx))(t))
	for _, club := range []string{alder, birch} {
		same(t, holding(t, back, club), holding(t, s, club))
	}
	club, _, err := back.SessionByHash(ctx, Hash("s"))
	ok(t, err)
	same(t, club, alder)
	// A second way shows what the reads above do not: back again, the bytes are those of the first.
	second := filepath.Join(t.TempDir(), "backup")
	ok(t, back.Backup(ctx, second, nil))
	same(t, body(t, second), body(t, file))
	Everything(t, back, alder, "P-9") // it can be written on
	see(t, back, alder, func(tx store.Tx) { must(tx.VerifyChanges(ctx))(t) })
}

// holding is everything of a club that reads show.
func holding(t testing.TB, s store.Store, club string) (parts []any) {
	t.Helper()
	see(t, s, club, func(tx store.Tx) {
		for _, p := range must(tx.Players(ctx, "", "", 0))(t) {
			parts = append(parts, exportOf(t, tx, p.Ref, 100))
		}
		parts = append(parts, must(tx.Keys(ctx))(t), must(tx.Changes(ctx, 0, 0))(t), must(tx.Tryouts(ctx))(t), must(tx.Groups(ctx, "", 0))(t),
			must(tx.ActiveDocuments(ctx, store.KindRubric))(t), must(tx.Webhooks(ctx))(t), must(tx.VerifyChanges(ctx))(t),
			walk(t, tx, store.AssessmentFilter{Fault: "late-feet", Verdict: "fault"}, 10))
	})
	return parts
}

// body is a backup's lines, sorted, without the first, which has the time.
func body(t testing.TB, file string) []string {
	t.Helper()
	f := must(os.Open(file))(t)
	defer f.Close()
	text := must(io.ReadAll(must(gzip.NewReader(f))(t)))(t)
	lines := strings.Split(string(text), "\n")[1:]
	slices.Sort(lines)
	return lines
}

// backupWhileWriting wants one moment: as many log entries as observations.
func backupWhileWriting(t *testing.T, s, back store.Store) {
	club := NewClub(t, s, "Alder")
	write := func(i int) error {
		return s.InTx(ctx, club, func(tx store.Tx) error {
			if err := tx.EnsurePlayers(ctx, fmt.Sprintf("P-%d", i)); err != nil {
				return err
			}
			if err := tx.Save(ctx, []store.Submission{Sub(fmt.Sprintf("P-%d", i), "2026-05-09", fmt.Sprintf("w%d-", i))}); err != nil {
				return err
			}
			return tx.AppendChanges(ctx, []store.Change{{Who: "k", What: "observation.stored"}})
		})
	}
	for i := range 50 {
		ok(t, write(i))
	}
	stop, stopped := make(chan struct{}), make(chan error)
	go func() {
		for i := 50; ; i++ {
			select {
			case <-stop:
				stopped <- nil
				return
			default:
				if err := write(i); err != nil {
					stopped <- err
					return
				}
			}
		}
	}()
	file := filepath.Join(t.TempDir(), "backup")
	err := s.Backup(ctx, file, nil)
	close(stop)
	ok(t, <-stopped)
	ok(t, err)
	ok(t, back.Restore(ctx, file, nil))
	see(t, back, club, func(tx store.Tx) {
		entries := must(tx.VerifyChanges(ctx))(t)
		found := len(walk(t, tx, store.AssessmentFilter{}, 500))
		if int64(found) != entries || found < 50 {
			t.Fatalf("found %d assessments and %d log entries, want as many and at least 50", found, entries)
		}
	})
}

func backupRefused(t *testing.T, s store.Store, to Opener) {
	club := NewClub(t, s, "Alder")
	Everything(t, s, club, "P-1")
	dir := t.TempDir()
	good := filepath.Join(dir, "good")
	ok(t, s.Backup(ctx, good, nil))
	before := must(os.ReadFile(good))(t)
	is(t, s.Backup(ctx, good, nil), os.ErrExist)
	same(t, must(os.ReadFile(good))(t), before)
	is(t, s.Backup(ctx, filepath.Join(dir, "none", "file"), nil), os.ErrNotExist)
	cancelled, cancel := context.WithCancel(ctx)
	cancel()
	is(t, s.Backup(cancelled, filepath.Join(dir, "cancelled"), nil), context.Canceled)
	same(t, len(must(os.ReadDir(dir))(t)), 1) // nothing half made is left

	is(t, s.Restore(ctx, good, nil), store.ErrNotEmpty)
	lines := strings.Split(string(must(io.ReadAll(must(gzip.NewReader(must(os.Open(good))(t)))(t)))(t)), "\n")
	zip := func(text string) []byte {
		var b strings.Builder
		w := gzip.NewWriter(&b)
		must(io.WriteString(w, text))(t)
		ok(t, w.Close())
		return []byte(b.String())
	}
	edit := func(old, new string) []byte {
		text := strings.Join(lines, "\n")
		if !strings.Contains(text, old) {
			t.Fatalf("no %q in the backup", old)
		}
		return zip(strings.Replace(text, old, new, 1))
	}
	empty := to(t)
	for _, c := range []struct {
		name string
		file []byte
		want error
	}{
		{"not gzip", []byte("SQLite format 3"), store.ErrDamaged},
		{"empty", nil, store.ErrDamaged},
		{"cut short", before[:len(before)/2], store.ErrDamaged},
		{"checksum cut off", before[:len(before)-4], store.ErrDamaged},
		{"without its end", zip(strings.Join(lines[:len(lines)-2], "\n")), store.ErrDamaged},
		{"a row lost", edit(lines[3]+"\n", ""), store.ErrDamaged},
		{"something after its end", zip(strings.Join(lines, "\n") + "{}"), store.ErrDamaged},
		{"of another program", edit(`"archive":"rootcue"`, `"archive":"other"`), store.ErrDamaged},
		{"of a later format", edit(`"format":2`, `"format":3`), store.ErrNewerSchema},
		{"of a later schema", edit(`"schema":`, `"schema":9`), store.ErrNewerSchema},
		{"of an unknown table", edit(`"table":"cues"`, `"table":"cues; DROP TABLE cues"`), store.ErrDamaged},
		{"with an odd column", edit(`"handed_on"`, `"handed_on) --"`), store.ErrDamaged},
		{"with a bad date", edit(`"2026-05-10"`, `"2026-05-32"`), store.ErrInvalid},
		{"with a column of no table", edit(`"handed_on"`, `"handed_off"`), store.ErrDamaged},
		{"with a column twice", edit(`"handed_on"`, `"handed_on","handed_on"`), store.ErrDamaged},
		{"with a list for a value", edit(`"2026-05-10"`, `[]`), store.ErrDamaged},
		{"with many lists for a row", edit(lines[3], "["+strings.Repeat("[],", 1<<20)+"[]]"), store.ErrDamaged},
		{"with a value too many", edit(`"2026-05-10"`, `"2026-05-10",1`), store.ErrDamaged},
		{"with more behind a row", edit(lines[3], lines[3]+"[]"), store.ErrDamaged},
		{"with a club of no time", edit(`Z","id"`, `","id"`), store.ErrDamaged},
		{"with a row of no time", edit(`Z"]`, `"]`), store.ErrDamaged},
		{"with a list that is none", edit(`"[\"u14\"]"`, `"u14"`), store.ErrDamaged},
		{"with a document that is none", edit(`{\"in\":true}`, `{in`), store.ErrInvalid},
		{"with a NUL", edit(`"P-1"`, `"P-1\u0000"`), store.ErrInvalid},
		{"with a row before its table", edit(lines[2]+"\n", ""), store.ErrDamaged},
		{"with a table before its club", edit(lines[1]+"\n", ""), store.ErrDamaged},
		{"with an empty line", edit(lines[3], ""), store.ErrDamaged},
		{"with a club twice", edit(lines[1], lines[1]+"\n"+lines[1]), store.ErrConflict},
		{"with a key twice", edit(lines[3], lines[3]+"\n"+lines[3]), store.ErrConflict},
		{"with a club of odd values", edit(`"name":"Alder"`, `"name":{}`), store.ErrDamaged},
	} {
		t.Run(c.name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "bad")
			ok(t, os.WriteFile(file, c.file, 0o600))
			is(t, empty.Restore(ctx, file, nil), c.want)
			same(t, must(empty.Clubs(ctx))(t), []store.Club{})
		})
	}
	is(t, empty.Restore(ctx, filepath.Join(dir, "none"), nil), os.ErrNotExist)
	ok(t, empty.Restore(ctx, good, nil))
}
