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

	"github.com/jmoiron/sqlx"

	"rootcue/internal/club"
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
		a := member(t, c, "North", "admin")
		fullPlayer(t, c, a, "P-0099")
		fullPlayer(t, c, a, "P-other")
		e, err := c.ExportPlayer(ctx, a, "P-0099")
		if err != nil {
			t.Fatal(err)
		}
		files := unzip(t, e)
		var all map[string]any
		if err := json.Unmarshal(files["player.json"], &all); err != nil {
			t.Fatal(err)
		}
		for _, key := range []string{"player", "observations", "assessments", "reviews", "cues", "throws", "links", "changes"} {
			if list, ok := all[key].([]any); all[key] == nil || ok && len(list) == 0 {
				t.Errorf("player.json has no %s", key)
			}
		}
		for name, b := range files {
			if strings.Contains(string(b), "P-other") {
				t.Errorf("%s tells of another player", name)
			}
			if strings.HasPrefix(name, "assessments/") && !strings.Contains(string(b), `"cautions":[{`) {
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
		if _, err := c.ExportPlayer(ctx, member(t, c, "South", "admin"), "P-0099"); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("another club: %v", err)
		}
	})
}

func unzip(t testing.TB, e club.Export) map[string][]byte {
	t.Helper()
	var out bytes.Buffer
	if err := e.WriteZIP(&out); err != nil {
		t.Fatal(err)
	}
	z, err := zip.NewReader(bytes.NewReader(out.Bytes()), int64(out.Len()))
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
		"=1+1": "'=1+1", "+1+1": "'+1+1", "-1+1": "'-1+1", "@SUM(A1)": "'@SUM(A1)", "\t=1": "'\t=1", "\r=1": "'\r=1", " =1": "' =1", "＝1": "'＝1", "-0x10": "'-0x10", "+Inf": "'+Inf",
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
