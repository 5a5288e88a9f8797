package club_test

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"rootcue/internal/club"
	"rootcue/internal/jobs"
	"rootcue/internal/store"
	"rootcue/internal/store/sqlstore"
	"rootcue/internal/store/storetest"
)

// fullPlayer gives a player something of everything.
func fullPlayer(t testing.TB, c *club.Clubs, a club.Actor, ref string) {
	t.Helper()
	if _, _, err := c.PutPlayer(ctx, a, store.Player{Ref: ref, Age: ptr(12), ConsentOn: ptr("2026-01-10"), ConsentScope: "film and keep"}, always); err != nil {
		t.Fatal(err)
	}
	id := reviewable(t, c, a, ref, "2026-05-09")
	enter(t, c, a, ref, `[{"date": "2026-05-02", "kind": "pitches", "count": 43, "note": "=HYPERLINK(\"http://x\")", "where": "-other"}]`)
	if _, err := c.PutReview(ctx, a, id, club.Review{Note: "@home: the chalk line"}, true, 0); err != nil {
		t.Fatal(err)
	}
	if _, _, err := c.AddLink(ctx, a, id, 30); err != nil {
		t.Fatal(err)
	}
}

func TestExport(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, spring)
		withQueue(t, c)
		a := member(t, c, "North", "admin")
		fullPlayer(t, c, a, "P-0099")
		fullPlayer(t, c, a, "P-other")
		files := playerZIP(t, c, a, "P-0099")
		asked, err := c.Export(ctx, a, "P-0099")
		if err != nil {
			t.Fatal(err)
		}
		made := madeZIP(t, c, a, asked.Export)
		for _, log := range []map[string][]byte{files, made} {
			delete(log, "changes.json") // it says of itself that it was asked for
		}
		if diff := cmp.Diff(files, made); diff != "" {
			t.Errorf("an export made by a job and one sent at once are not the same:\n%s", diff)
		}
		for _, table := range []string{"players", "observations", "assessments", "reviews", "cues", "throws", "links"} {
			var rows []map[string]any
			if err := json.Unmarshal(files[table+".json"], &rows); err != nil || len(rows) == 0 {
				t.Errorf("%s.json has %d rows, %v", table, len(rows), err)
			}
		}
		for name, b := range files {
			if strings.Contains(string(b), "P-other") {
				t.Errorf("%s tells of another player", name)
			}
			if name == "assessments.json" && !strings.Contains(string(b), `"cautions":[{`) {
				t.Errorf("%s has no cautions", name)
			}
			if !strings.HasSuffix(name, ".csv") {
				continue
			}
			rows, err := csv.NewReader(bytes.NewReader(b)).ReadAll()
			if err != nil || len(rows) < 2 {
				t.Errorf("%s: %d rows, %v", name, len(rows), err)
			}
			for _, row := range rows {
				for _, cell := range row {
					if cell != "" && strings.ContainsAny(cell[:1], "=+-@\t\r") {
						t.Errorf("%s: %q is a formula to a spreadsheet", name, cell)
					}
				}
			}
		}
		if !strings.Contains(string(files["ledger.csv"]), `'=HYPERLINK`) || !strings.Contains(string(files["reviews.csv"]), "'@home") {
			t.Errorf("texts are lost:\n%s\n%s", files["ledger.csv"], files["reviews.csv"])
		}
		other := member(t, c, "South", "admin")
		for name, err := range map[string]error{
			"a player": c.WritePlayer(ctx, other, "P-0099", io.Discard, func() {}), "an export": c.WriteExport(ctx, other, asked.Export, io.Discard, func() {}),
			"none": c.WriteExport(ctx, a, store.NewID(), io.Discard, func() {}),
		} {
			if !errors.Is(err, store.ErrNotFound) {
				t.Errorf("%s of another club: %v", name, err)
			}
		}
		if _, err := c.Export(ctx, other, "P-0099"); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("another club asks for it: %v", err)
		}
	})
}

// The club's export holds all players and no secret; it goes when one of them
// is erased, and by itself after a day.
func TestExportOfClub(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, spring)
		withQueue(t, c)
		a := member(t, c, "North", "admin")
		fullPlayer(t, c, a, "P-1")
		fullPlayer(t, c, a, "P-2")
		fullPlayer(t, c, member(t, c, "South", "admin"), "P-south")
		ask := func() (id string, expires time.Time) {
			asked, err := c.Export(ctx, a, "")
			if err != nil {
				t.Fatal(err)
			}
			return asked.Export, asked.Expires.Time
		}
		id, _ := ask()
		unmade, expires := ask()
		if left := expires.Sub(c.Store.(*sqlstore.DB).Clock()); left > club.KeepExport || left < club.KeepExport-time.Minute {
			t.Errorf("it can be fetched for %s, wanted %s", left, club.KeepExport)
		}
		if err := c.WriteExport(ctx, a, unmade, io.Discard, func() { t.Error("ready too early") }); !errors.Is(err, club.ErrUnfinished) {
			t.Errorf("before it is made: %v", err)
		}
		var keys []store.Key
		view(t, c, a, func(tx store.Tx) (err error) {
			keys, err = tx.Keys(ctx)
			return err
		})
		for name, b := range madeZIP(t, c, a, id) {
			text := string(b)
			if strings.Contains(text, "P-south") || strings.Contains(text, keys[0].Hash) {
				t.Errorf("%s tells too much", name)
			}
			if name == "assessments.json" || name == "ledger.csv" || name == "documents.json" {
				if strings.Count(text, "P-1") == 0 && name != "documents.json" || strings.Count(text, "P-2") == 0 && name != "documents.json" || len(text) < 50 {
					t.Errorf("%s lacks players: %s", name, text)
				}
			}
		}
		at(t, c, expires.Add(-time.Hour).Format(time.RFC3339))
		if err := c.WriteExport(ctx, a, id, io.Discard, func() {}); err != nil {
			t.Errorf("before it expires: %v", err)
		}
		if left, err := c.ExpireExport(ctx, a.Club, id); err != nil || left <= 0 || left > time.Hour+time.Minute {
			t.Errorf("it has %s left, %v", left, err)
		}
		at(t, c, expires.Add(time.Second).Format(time.RFC3339))
		if err := c.WriteExport(ctx, a, id, io.Discard, func() {}); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("after it expired: %v", err)
		}
		if _, done, err := c.ExportSome(ctx, a.Club, unmade); !done || err != nil {
			t.Errorf("a job for one that expired goes on: %v", err)
		}
		if left, err := c.ExpireExport(ctx, a.Club, id); err != nil || left != 0 {
			t.Errorf("after it expired it has %s left, %v", left, err)
		}
		id, _ = ask()
		madeZIP(t, c, a, id)
		if e, err := c.Erase(ctx, a, "P-1"); err != nil || e.Deleted["exports"] != 1 {
			t.Errorf("erased %+v, %v", e, err)
		}
		if err := c.WriteExport(ctx, a, id, io.Discard, func() {}); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("an erased player can still be fetched: %v", err)
		}
	})
}

// withQueue gives clubs a queue of jobs that does not run.
func withQueue(t testing.TB, c *club.Clubs) {
	t.Helper()
	db := c.Store.(*sqlstore.DB)
	if err := jobs.Migrate(ctx, db); err != nil {
		t.Fatal(err)
	}
	if _, err := jobs.New(db, c, jobs.Options{}); err != nil {
		t.Fatal(err)
	}
}

// playerZIP is a player's archive, sent at once.
func playerZIP(t testing.TB, c *club.Clubs, a club.Actor, ref string) map[string][]byte {
	t.Helper()
	var out bytes.Buffer
	if err := c.WritePlayer(ctx, a, ref, &out, func() {}); err != nil {
		t.Fatal(err)
	}
	return unzip(t, out.Bytes())
}

// madeZIP does the work of an export's job and fetches the archive.
func madeZIP(t testing.TB, c *club.Clubs, a club.Actor, id string) map[string][]byte {
	t.Helper()
	for done := false; !done; {
		var err error
		if _, done, err = c.ExportSome(ctx, a.Club, id); err != nil {
			t.Fatal(err)
		}
	}
	var out bytes.Buffer
	if err := c.WriteExport(ctx, a, id, &out, func() {}); err != nil {
		t.Fatal(err)
	}
	return unzip(t, out.Bytes())
}

func unzip(t testing.TB, b []byte) map[string][]byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if files[f.Name], err = io.ReadAll(r); err != nil {
			t.Fatal(err)
		}
	}
	return files
}

// Cells that spreadsheets take for formulas (OWASP, "CSV injection").
func TestPlainCells(t *testing.T) {
	for cell, want := range map[string]string{
		"": "", "a=1": "a=1", "43": "43", "-3": "-3", "+2.5": "+2.5", "-1e3": "-1e3",
		"=1+1": "'=1+1", "+1+1": "'+1+1", "-1+1": "'-1+1", "@SUM(A1)": "'@SUM(A1)", "\t=1": "'\t'=1", "\r=1": "'\r'=1", " =1": "' =1", "＝1": "'＝1", "-0x10": "'-0x10", "+Inf": "'+Inf",
		"a;=1": "a;'=1", "a; =1": "a;' =1", `a";"=1"`: `a";'"=1"`, "a;-3": "a;'-3", "a;b": "a;b", "5;6": "5;6", "a\tb": "a\tb", "a\t@b": "a\t'@b", "a\n+b": "a\n'+b", "a|=1": "a|'=1", "1-2": "1-2", "=1;=2": "'=1;'=2", "one\n\ntwo": "one\n\ntwo", "one\r\ntwo": "one\r\ntwo", "one\r\n=2": "one\r\n'=2", "\xff=1": "\xff=1",
	} {
		if got := club.Plain(cell); got != want {
			t.Errorf("%q: found %q, want %q", cell, got, want)
		}
	}
}

// After an erasure no table and, in SQLite, no byte of the file holds the
// reference; another player keeps everything.
func TestEraseLeavesNothing(t *testing.T) {
	const ref = "P-ERASE-me"
	t.Run("embedded", func(t *testing.T) {
		file := filepath.Join(t.TempDir(), "club.db")
		eraseOne(t, open(t, file), ref)
		for _, name := range []string{file, file + "-wal"} {
			if b, err := os.ReadFile(name); err == nil && bytes.Contains(b, []byte(ref)) {
				t.Errorf("%s holds the reference", filepath.Base(name))
			}
		}
	})
	t.Run("PostgreSQL", func(t *testing.T) {
		url := storetest.Postgres(t)
		c := open(t, url)
		eraseOne(t, c, ref)
		db := sqlx.NewDb(c.Store.(*sqlstore.DB).Writer(), "postgres")
		super, err := sqlx.Open("postgres", storetest.Superuser(t, url)) // row security does not hold for it
		if err != nil {
			t.Fatal(err)
		}
		defer super.Close()
		var tables []string
		if err := db.Select(&tables, "SELECT relname FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace"); err != nil || len(tables) < 15 {
			t.Fatalf("%v, %v", tables, err)
		}
		for _, table := range tables {
			var n int
			if err := super.Get(&n, "SELECT count(*) FROM "+table+" r WHERE strpos(r::text, $1) > 0", ref); err != nil || n > 0 {
				t.Errorf("%s: %d rows hold the reference, %v", table, n, err)
			}
		}
	})
}

func eraseOne(t *testing.T, c *club.Clubs, ref string) {
	at(t, c, spring)
	a := member(t, c, "North", "admin")
	fullPlayer(t, c, a, ref)
	fullPlayer(t, c, a, "P-keep")
	before := ledger(t, c, a, "P-keep", true)
	if err := c.Hold(ctx, a, ref, true, "a court's order"); err != nil {
		t.Fatal(err)
	}
	if _, err := c.Erase(ctx, a, ref); !errors.Is(err, club.ErrHeld) {
		t.Fatalf("under legal hold: %v", err)
	}
	var refusal *club.Refusal
	if err := c.Hold(ctx, a, ref, true, ""); !errors.As(err, &refusal) {
		t.Errorf("a hold without a reason: %v", err)
	}
	if err := c.Hold(ctx, a, ref, false, ""); err != nil {
		t.Fatal(err)
	}
	e, err := c.Erase(ctx, a, ref)
	if err != nil || e.Deleted["observations"] != 1 || e.Deleted["links"] != 1 || e.Deleted["reviews"] != 1 || e.Proof == "" {
		t.Fatalf("found %+v, %v", e, err)
	}
	view(t, c, a, func(tx store.Tx) error {
		own, err := tx.Club(ctx)
		if e.Proof != store.ErasureProof(own.LogKey, ref) {
			t.Error("the proof proves nothing")
		}
		if _, broken := tx.VerifyChanges(ctx); broken != nil {
			t.Error(broken)
		}
		return err
	})
	if _, err := c.Erase(ctx, a, ref); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("a second time: %v", err)
	}
	if after := ledger(t, c, a, "P-keep", true); len(after) != len(before) || len(after) == 0 {
		t.Errorf("the other player has %v left of %v", after, before)
	}
}

// What is older than the club keeps is forgotten, but not what the law holds.
func TestRetention(t *testing.T) {
	each(t, func(t *testing.T, c *club.Clubs) {
		at(t, c, spring)
		a := member(t, c, "North", "admin")
		for _, ref := range []string{"P-1", "P-held"} {
			reviewable(t, c, a, ref, "2024-05-09")
			reviewable(t, c, a, ref, "2026-05-09")
		}
		if err := c.Hold(ctx, a, "P-held", true, "a court's order"); err != nil {
			t.Fatal(err)
		}
		count := func(ref string) int {
			l, err := c.Assessments(ctx, a, store.AssessmentFilter{Player: ref}, "", 100)
			if err != nil {
				t.Fatal(err)
			}
			return len(l.Items)
		}
		if err := c.RetainAll(ctx); err != nil || count("P-1") != 2 {
			t.Errorf("a club that keeps everything has %d left, %v", count("P-1"), err)
		}
		settings(t, c, a, func(s *club.Settings) { s.KeepMonths = 24 })
		if err := c.RetainAll(ctx); err != nil || count("P-1") != 1 || count("P-held") != 2 {
			t.Errorf("%d and %d left, %v", count("P-1"), count("P-held"), err)
		}
	})
}
