package jobs_test

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"sync/atomic"
	"testing"
	"time"

	"rootcue/internal/club"
	"rootcue/internal/jobs"
	"rootcue/internal/store"
	"rootcue/internal/store/sqlstore"
)

// workOn names the database whose jobs this program shall run, in place of its
// tests, until it is killed.
const workOn = "ROOTCUE_TEST_WORK_ON"

// work runs jobs, slowly, until it is killed.
func work(url string) error {
	db, err := sqlstore.Open(ctx, url)
	if err != nil {
		return err
	}
	q, err := jobs.New(db, club.New(slow{db}), jobs.Options{Poll: 20 * time.Millisecond})
	if err == nil {
		err = q.Start(ctx)
	}
	if err == nil {
		select {}
	}
	return err
}

// slow keeps a job in the middle long enough to be killed there.
type slow struct{ store.Store }

// InTx waits first.
func (s slow) InTx(ctx context.Context, club string, fn func(store.Tx) error) error {
	time.Sleep(20 * time.Millisecond)
	return s.Store.InTx(ctx, club, fn)
}

// An export whose worker is killed, a process with SIGKILL, is gone on with by
// the next one: everything is in it, once.
func TestExportSurvivesAKill(t *testing.T) {
	each(t, func(t *testing.T, url string) {
		s := serve(t, url)
		a, other := s.admin(t, "North"), s.admin(t, "South")
		const players = 350 // several parts of each table
		s.submit(t, a, players)
		s.submit(t, other, 3)
		asked, err := s.clubs.Export(ctx, a, "")
		if err != nil {
			t.Fatal(err)
		}
		worker := exec.Command(os.Args[0])
		worker.Env, worker.Stderr = append(os.Environ(), workOn+"="+url), os.Stderr
		if err := worker.Start(); err != nil {
			t.Fatal(err)
		}
		const middle = 6
		waitFor(t, "some parts", func() bool { return s.parts(t, a, asked.Export) >= middle })
		if err := worker.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		_ = worker.Wait() // it was killed, and says so
		at := s.parts(t, a, asked.Export)
		if j, err := s.clubs.Job(ctx, a, asked.Job); err != nil || j.State != club.JobRunning {
			t.Fatalf("it was killed too late, in part %d: %+v, %v", at, j, err)
		}
		if err := s.clubs.WriteExport(ctx, a, asked.Export, new(bytes.Buffer), func() {}); err != club.ErrUnfinished {
			t.Errorf("half of it can be fetched: %v", err)
		}
		s.leave(t)
		s.start(t)
		if j := s.until(t, a, asked.Job); j.State != club.JobDone || j.Kind != "export" || j.Progress.Done < 2*players {
			t.Errorf("found %+v", j)
		}
		s.checkExport(t, a, asked.Export, players)
		if parts := s.parts(t, a, asked.Export); parts <= at {
			t.Errorf("it had %d parts when its worker was killed and has %d", at, parts)
		}
	})
}

// An export that has expired cannot be fetched, and its bytes go at once, not
// with the next day's sweep. The job for it that comes too early comes again.
func TestExpiredExportsGo(t *testing.T) {
	each(t, func(t *testing.T, url string) {
		s := serve(t, url)
		var ahead atomic.Int64
		s.db.Clock = func() time.Time { return time.Now().Add(time.Duration(ahead.Load())) }
		a := s.admin(t, "North")
		s.submit(t, a, 3)
		asked, err := s.clubs.Export(ctx, a, "")
		if err != nil {
			t.Fatal(err)
		}
		s.start(t)
		s.until(t, a, asked.Job)
		waitFor(t, "the day's sweep", func() bool { return s.count(t, "retain") == 1 && s.state(t, "retain") == "completed" })
		s.runNow(t, "expire")
		waitFor(t, "the job to be put off", func() bool { return s.state(t, "expire") == "scheduled" })
		s.checkExport(t, a, asked.Export, 3)
		ahead.Store(int64(club.KeepExport + time.Minute))
		if err := s.clubs.WriteExport(ctx, a, asked.Export, new(bytes.Buffer), func() {}); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("it can be fetched after its time: %v", err)
		}
		left := func() int {
			var n int
			if err := s.db.View(ctx, a.Club, func(tx store.Tx) error { return tx.SQL().QueryRow("SELECT count(*) FROM export_parts").Scan(&n) }); err != nil {
				t.Fatal(err)
			}
			return n
		}
		if left() == 0 {
			t.Error("nothing is left to go")
		}
		s.runNow(t, "expire")
		waitFor(t, "its parts to go", func() bool { return left() == 0 })
		waitFor(t, "the job to end", func() bool { return s.state(t, "expire") == "completed" })
	})
}

// runNow lets the time come for the one job of a kind.
func (s *server) runNow(t testing.TB, kind string) {
	t.Helper()
	if _, err := s.db.Writer().Exec("UPDATE river_job SET state = 'available', scheduled_at = created_at WHERE kind = $1", kind); err != nil {
		t.Fatal(err)
	}
}

// state is the queue's word for how far the one job of a kind is.
func (s *server) state(t testing.TB, kind string) (state string) {
	t.Helper()
	if err := s.db.Writer().QueryRow("SELECT state FROM river_job WHERE kind = $1", kind).Scan(&state); err != nil {
		t.Fatal(err)
	}
	return state
}

// parts counts what there is of an export; none is larger than a page of rows.
func (s *server) parts(t testing.TB, a club.Actor, id string) (n int) {
	t.Helper()
	err := s.db.View(ctx, a.Club, func(tx store.Tx) error {
		e, err := tx.Export(ctx, id)
		if err != nil {
			return err
		}
		n = e.Parts
		for part := range n {
			if b, err := tx.ExportPart(ctx, id, part); err != nil || len(b) > 256<<10 {
				return fmt.Errorf("part %d has %d bytes, %w", part, len(b), err)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// checkExport wants an observation and an assessment of each player, once.
func (s *server) checkExport(t testing.TB, a club.Actor, id string, players int) {
	t.Helper()
	var out bytes.Buffer
	if err := s.clubs.WriteExport(ctx, a, id, &out, func() {}); err != nil {
		t.Fatal(err)
	}
	z, err := zip.NewReader(bytes.NewReader(out.Bytes()), int64(out.Len()))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"players", "observations", "assessments"} {
		f, err := z.Open(name + ".json")
		if err != nil {
			t.Fatal(err)
		}
		var rows []struct{ ID, Player, Ref string }
		if err := json.NewDecoder(f).Decode(&rows); err != nil { // the checksum too
			t.Fatalf("%s: %v", name, err)
		}
		seen := map[string]bool{}
		for _, r := range rows {
			seen[r.Player+r.Ref] = true
		}
		if len(rows) != players || len(seen) != players {
			t.Errorf("%s: %d rows of %d players, want %d", name, len(rows), len(seen), players)
		}
	}
}
