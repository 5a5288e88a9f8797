package jobs_test

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rootcue/internal/cli"
	"rootcue/internal/club"
	"rootcue/internal/store"
	"rootcue/internal/store/storetest"
)

// Jobs that were waiting or running when a backup was made are done after it is
// restored, into the other kind of database, once and under their own ids. What
// was cancelled is not.
func TestRestoredJobs(t *testing.T) {
	each(t, func(t *testing.T, url string) {
		from := serve(t, url)
		north, east, south := from.admin(t, "North"), from.admin(t, "East"), from.admin(t, "South")
		const players = 120
		from.submit(t, north, players)
		from.submit(t, east, players)
		from.submit(t, south, 2)
		from.publish(t, north)
		wanted := map[string]club.Actor{}
		ask := func(a club.Actor, id string, err error) string {
			t.Helper()
			if err != nil {
				t.Fatal(err)
			}
			wanted[id] = a
			return id
		}
		again, err := from.clubs.Reassess(ctx, north, "throw-to-second")
		ask(north, again, err)
		from.leave(t) // running
		from.db.Clock = func() time.Time { return time.Now().Add(-2 * club.KeepExport) }
		export, err := from.clubs.Export(ctx, east, "")
		ask(east, export.Job, err)
		for range 2 { // half made, and too old to be fetched by now
			if _, _, err := from.clubs.ExportSome(ctx, east.Club, export.Export); err != nil {
				t.Fatal(err)
			}
		}
		from.db.Clock = time.Now
		gone, err := from.clubs.EraseLater(ctx, south, "P-0001")
		ask(south, gone, err)
		cancelled, err := from.clubs.Export(ctx, south, "")
		if err == nil {
			_, err = from.clubs.CancelJob(ctx, south, cancelled.Job)
		}
		if err != nil {
			t.Fatal(err)
		}

		to := otherKind(t, from.db.Postgres())
		file := filepath.Join(t.TempDir(), "club.backup")
		run(t, "Everything is in", "backup", file, "--database", url)
		run(t, "waiting or running: 3.", "restore", file, "--database", to)
		restored := serve(t, to)
		for id, a := range wanted {
			if j, err := restored.clubs.Job(ctx, a, id); err != nil || j.State != club.JobWaiting {
				t.Errorf("after the restore: %+v, %v", j, err)
			}
		}
		restored.start(t)
		for id, a := range wanted {
			if j := restored.until(t, a, id); j.State != club.JobDone || j.Problem != "" {
				t.Errorf("found %+v", j)
			}
		}
		if j, err := restored.clubs.Job(ctx, south, cancelled.Job); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("a cancelled job is back: %+v, %v", j, err)
		}
		l, err := restored.clubs.Assessments(ctx, north, store.AssessmentFilter{Version: 2}, "", 500)
		if err != nil || len(l.Items) != players {
			t.Errorf("%d assessments of the new version, %v", len(l.Items), err)
		}
		restored.checkExport(t, east, export.Export, players)
		if _, err := restored.clubs.Player(ctx, south, "P-0001"); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("a player whose erasure was asked for is back: %v", err)
		}
		waitFor(t, "the sweep that each start asks for", func() bool { return restored.count(t, "retain") == 1 })
		if n := restored.count(t, "reassess") + restored.count(t, "export") + restored.count(t, "erase"); n != len(wanted) {
			t.Errorf("%d jobs, want %d", n, len(wanted))
		}
	})
}

// otherKind names a new database of the other kind.
func otherKind(t testing.TB, postgres bool) string {
	if postgres {
		return filepath.Join(t.TempDir(), "restored.db")
	}
	return storetest.Postgres(t)
}

// run runs a command that says something.
func run(t testing.TB, says string, args ...string) {
	t.Helper()
	var out, slips bytes.Buffer
	if code := cli.Main(args, strings.NewReader(""), &out, &slips); code != 0 || !strings.Contains(out.String(), says) {
		t.Fatalf("%s ends with %d: %s%s", args[0], code, &out, &slips)
	}
}

// count counts the jobs of a kind that are kept, ended or not.
func (s *server) count(t testing.TB, kind string) (n int) {
	t.Helper()
	if err := s.db.Writer().QueryRow("SELECT count(*) FROM river_job WHERE kind = $1", kind).Scan(&n); err != nil {
		t.Fatal(err)
	}
	return n
}

// A job in a backup that cannot be one of the club's is refused with all of it.
func TestDamagedJobs(t *testing.T) {
	s := serve(t, filepath.Join(t.TempDir(), "club.db"))
	a, other := s.admin(t, "North"), s.admin(t, "South")
	for name, j := range map[string]store.Job{
		"a kind that is none":         {Kind: "deliver", Args: store.JSON(`{}`)},
		"arguments that are none":     {Kind: "reassess", Args: store.JSON(`[1]`)},
		"of another club":             {Kind: "erase", Args: store.JSON(fmt.Sprintf(`{"club":%q}`, other.Club))},
		"an export that is not there": {Kind: "export", Args: store.JSON(fmt.Sprintf(`{"club":%q,"export":%q}`, a.Club, store.NewID()))},
		"an id that is none":          {ID: "a b", Kind: "erase", Args: store.JSON(fmt.Sprintf(`{"club":%q}`, a.Club))},
		"an export without arguments": {Kind: "export", Args: store.JSON(`"x"`)},
	} {
		if j.ID == "" {
			j.ID = store.NewID()
		}
		if err := s.db.InTx(ctx, a.Club, func(tx store.Tx) error { return s.queue.Resume(ctx, tx, j) }); !errors.Is(err, store.ErrDamaged) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
