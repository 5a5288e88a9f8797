package torture_test

import (
	"maps"
	"path/filepath"
	"testing"
	"time"
)

// A backup taken while clubs write is one moment of the database: restored, it
// holds everything that was acknowledged before it was begun, nothing half, and
// what it holds is judged to the same bytes.
func TestBackupUnderLoad(t *testing.T) {
	for _, kind := range []string{"SQLite", "PostgreSQL"} {
		t.Run(kind, func(t *testing.T) {
			t.Parallel()
			at, c := database(t, kind)
			s, b := newServer(t, at), newBook()
			s.start()
			stop, stopped := make(chan struct{}), make(chan struct{})
			go func() {
				defer close(stopped)
				drive(newDrivers(s, b, 4), stop)
			}()
			within(t, time.Minute, "something to back up", func() bool { return b.times("acknowledged") > 100 })
			before := b.copy()
			file := filepath.Join(t.TempDir(), "club.backup")
			if out, err := s.command("backup", file); err != nil {
				t.Errorf("a backup under load: %v %s", err, out)
			}
			meanwhile := b.times("acknowledged") - before.count["acknowledged"]
			close(stop)
			<-stopped
			s.kill()
			b.report(t, "writes beside a backup, "+kind)
			dir := t.TempDir()
			restored := &server{t: t, database: filepath.Join(dir, "new.db"), file: s.file, address: freePort(t), logFile: filepath.Join(dir, "log"), admin: s.admin}
			restored.base = "http://" + restored.address
			if c != nil {
				url, err := c.Database()
				if err != nil {
					t.Fatal(err)
				}
				restored.database = url
			}
			if out, err := restored.command("restore", file); err != nil {
				t.Fatalf("the backup is not restored: %v %s", err, out)
			}
			restored.start()
			t.Cleanup(restored.kill)
			db := connect(t, restored.database, c)
			fewer(t, before, "jobs waiting", func() int {
				return count(t, db, `SELECT count(*) FROM river_job WHERE state NOT IN ('completed', 'cancelled', 'discarded')`)
			}, nothing)
			check(t, restored, before, db, nil)
			before.report(t, "backup under load, "+kind)
			t.Logf("%d writes were acknowledged while the backup was taken", meanwhile)
		})
	}
}

// copy is the book as it is now, without its jobs and erasures: a backup holds
// what ended jobs did, not them.
func (b *book) copy() *book {
	b.mu.Lock()
	defer b.mu.Unlock()
	c := newBook()
	c.observations, c.throws, c.count = maps.Clone(b.observations), maps.Clone(b.throws), maps.Clone(b.count)
	for rubric, reasons := range b.reasons {
		c.reasons[rubric] = maps.Clone(reasons)
	}
	return c
}
