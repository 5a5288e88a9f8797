package storetest

import (
	"errors"
	"fmt"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"rootcue/internal/store"
)

func players(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	full := store.Player{
		Ref: "P-0733", Born: ptr("2012-03"), Age: ptr(14), AgeOn: ptr("2026-05-01"), Throws: ptr("left"), StatureCM: ptr(163.25),
		StatureOn: ptr("2026-04-01"), Groups: store.Strings{"u14", "catchers"}, ConsentOn: ptr("2026-01-10"), ConsentScope: "film",
		LegalHold: true, HoldWhy: "claim of 2026",
	}
	var put, again store.Player
	do(t, s, club, func(tx store.Tx) { put = must(tx.PutPlayer(ctx, full))(t) })
	if diff := cmp.Diff(full, put, cmpopts.IgnoreFields(store.Player{}, "ID", "CreatedAt", "UpdatedAt")); diff != "" {
		t.Fatal(diff)
	}
	do(t, s, club, func(tx store.Tx) {
		again = must(tx.PutPlayer(ctx, store.Player{Ref: "P-0733"}))(t)
		same(t, again.UpdatedAt, tx.Now())
	})
	want := store.Player{ID: put.ID, Ref: "P-0733", Groups: store.Strings{}, CreatedAt: put.CreatedAt, UpdatedAt: again.UpdatedAt}
	same(t, again, want)
	do(t, s, club, func(tx store.Tx) { ok(t, tx.EnsurePlayers(ctx, "P-2", "P-0733", "P-2")) })
	see(t, s, club, func(tx store.Tx) {
		same(t, must(tx.Player(ctx, "P-0733"))(t), want)
		same(t, must(tx.PlayerByID(ctx, want.ID))(t), want)
		_, err := tx.PlayerByID(ctx, "P-0733")
		is(t, err, store.ErrNotFound)
		bare := must(tx.Player(ctx, "P-2"))(t)
		if bare.ID == "" || bare.ID == want.ID {
			t.Fatal("want a surrogate of its own")
		}
		_, err = tx.Player(ctx, "p-2")
		is(t, err, store.ErrNotFound)
	})
}

func teams(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	do(t, s, club, func(tx store.Tx) {
		for ref, g := range map[string]store.Strings{
			"P-3": {"u12", "catchers"}, "P-1": {"u12"}, "P-2": {"u12b"}, "É-1": {`the "u12"`}, "p-1": {"u12<b>"},
		} {
			must(tx.PutPlayer(ctx, store.Player{Ref: ref, Groups: g}))(t)
		}
	})
	refs := func(group, after string, limit int) (refs []string) {
		see(t, s, club, func(tx store.Tx) {
			for _, p := range must(tx.Players(ctx, group, after, limit))(t) {
				refs = append(refs, p.Ref)
			}
		})
		return refs
	}
	same(t, refs("u12", "", 0), []string{"P-1", "P-3"})
	same(t, refs(`the "u12"`, "", 0), []string{"É-1"})
	same(t, refs("u12<b>", "", 0), []string{"p-1"})
	same(t, refs("none", "", 0), []string(nil))
	// By the bytes of the reference, in both databases.
	same(t, refs("", "", 0), []string{"P-1", "P-2", "P-3", "p-1", "É-1"})
	same(t, refs("", "P-1", 2), []string{"P-2", "P-3"})
	same(t, refs("u12", "P-1", 2), []string{"P-3"})
}

func export(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	Everything(t, s, club, "P-1")
	Everything(t, s, club, "P-2")
	see(t, s, club, func(tx store.Tx) {
		for _, page := range []int{1, 2, 100} { // read in pages of any size it is the same
			d := exportOf(t, tx, "P-1", page)
			for _, table := range store.ExportTables {
				if n := len(d[table.Name]); table.OfPlayer != (n == 1) {
					t.Errorf("%s by %d: found %d rows", table.Name, page, n)
				}
			}
			same(t, []string{d["players"][0].(store.Player).Ref, d["observations"][0].(store.Observation).PlayerRef, d["roster"][0].(store.RosterEntry).PlayerRef}, []string{"P-1", "P-1", "P-1"})
			for _, table := range store.ExportTables { // the club's own has those of both
				if n := len(rowsOf(t, tx, table.Name, "", page)); n < 1 && table.Name != "documents" || table.OfPlayer && n < 2 {
					t.Errorf("%s of the club by %d: found %d rows", table.Name, page, n)
				}
			}
		}
		same(t, len(exportOf(t, tx, "P-3", 100)), 0)
		_, _, err := tx.ExportRows(ctx, "clubs", "", "", 1)
		is(t, err, store.ErrNotFound)
		_, _, err = tx.ExportRows(ctx, "grades", "", `["a"]`, 1)
		is(t, err, store.ErrInvalid)
	})
}

// exportOf is everything held on a player, by table, read in pages.
func exportOf(t testing.TB, tx store.Tx, ref string, page int) map[string][]any {
	t.Helper()
	all := map[string][]any{}
	for _, table := range store.ExportTables {
		if !table.OfPlayer {
			continue
		}
		if rows := rowsOf(t, tx, table.Name, ref, page); len(rows) > 0 {
			all[table.Name] = rows
		}
	}
	return all
}

func rowsOf(t testing.TB, tx store.Tx, table, ref string, page int) (all []any) {
	t.Helper()
	for after := ""; ; {
		rows, next, err := tx.ExportRows(ctx, table, ref, after, page)
		ok(t, err)
		all = append(all, rows...)
		if after = next; next == "" {
			return all
		}
	}
}

func exportParts(t *testing.T, s store.Store) {
	alder, birch := NewClub(t, s, "Alder"), NewClub(t, s, "Birch")
	Everything(t, s, alder, "P-1")
	add := func(ref *string, expires store.Time) (e store.Export) {
		do(t, s, alder, func(tx store.Tx) {
			e = must(tx.AddExport(ctx, store.Export{PlayerRef: ref, Who: "k", Expires: expires}))(t)
		})
		return e
	}
	late := add(ptr("P-1"), past())
	e, whole := add(ptr("P-1"), later()), add(nil, later())
	do(t, s, alder, func(tx store.Tx) {
		ok(t, tx.PutExport(ctx, e, []byte("a\x00\xff")))
	})
	fails(t, s, alder, store.ErrNotFound, func(tx store.Tx) error { return tx.PutExport(ctx, e, []byte("the same part again")) })
	e.Parts, e.State, e.DoneAt = 1, store.JSON(`{"a":1}`), ptr(past())
	do(t, s, alder, func(tx store.Tx) { ok(t, tx.PutExport(ctx, e, []byte("b"))) })
	e.Parts = 2
	see(t, s, alder, func(tx store.Tx) {
		same(t, must(tx.Export(ctx, e.ID))(t), e)
		same(t, must(tx.ExportPart(ctx, e.ID, 0))(t), []byte("a\x00\xff"))
		same(t, must(tx.ExportPart(ctx, e.ID, 1))(t), []byte("b"))
		for _, id := range []string{late.ID, "none"} {
			_, err := tx.Export(ctx, id)
			is(t, err, store.ErrNotFound)
		}
		_, err := tx.ExportPart(ctx, e.ID, 2)
		is(t, err, store.ErrNotFound)
	})
	see(t, s, birch, func(tx store.Tx) {
		_, err := tx.Export(ctx, e.ID)
		is(t, err, store.ErrNotFound)
		_, err = tx.ExportPart(ctx, e.ID, 0)
		is(t, err, store.ErrNotFound)
	})
	do(t, s, alder, func(tx store.Tx) {
		ok(t, tx.PutExport(ctx, late, []byte("late")))
		ok(t, tx.ExtendExport(ctx, late.ID, later()))
		same(t, must(tx.Export(ctx, late.ID))(t).Parts, 1)
		ok(t, tx.ExtendExport(ctx, late.ID, past()))
		is(t, tx.ExtendExport(ctx, "none", later()), store.ErrNotFound)
		ok(t, tx.DropExports(ctx))
		_, err := tx.ExportPart(ctx, late.ID, 0)
		is(t, err, store.ErrNotFound)
		must(tx.ExportPart(ctx, e.ID, 0))(t)
	})
	do(t, s, alder, func(tx store.Tx) {
		same(t, must(tx.ErasePlayer(ctx, "P-1", "k"))(t).Deleted["exports"], 2) // that of the whole club too
		for _, id := range []string{e.ID, whole.ID} {
			_, err := tx.ExportPart(ctx, id, 0)
			is(t, err, store.ErrNotFound)
			is(t, tx.PutExport(ctx, store.Export{ID: id}, []byte("c")), store.ErrNotFound)
		}
	})
}

func erasure(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	ref := `P"<1>` // JSON writes it otherwise
	Everything(t, s, club, ref)
	do(t, s, club, func(tx store.Tx) { // and safe within HTML in yet another way
		must(tx.BeginAnswer(ctx, store.Answer{Key: "html", Expires: later()}))(t)
		ok(t, tx.FinishAnswer(ctx, store.Answer{Key: "html", Body: `["P\"\u003c1\u003e"]`, Expires: later()}))
		must(tx.BeginAnswer(ctx, store.Answer{Key: "csv", Expires: later()}))(t)
		ok(t, tx.FinishAnswer(ctx, store.Answer{Key: "csv", Body: ref, Expires: later()}))
	})
	var p store.Player
	var logKey string
	see(t, s, club, func(tx store.Tx) {
		p = must(tx.Player(ctx, ref))(t)
		logKey = must(tx.Club(ctx))(t).LogKey
	})
	var e store.Erasure
	do(t, s, club, func(tx store.Tx) { e = must(tx.ErasePlayer(ctx, ref, "k7"))(t) })
	same(t, e, store.Erasure{PlayerID: p.ID, Proof: store.ErasureProof(logKey, ref), Deleted: map[string]int{
		"fresh_verdicts": 1, "reviews": 1, "links": 1, "cues": 1, "throws": 1, "deliveries": 1, "assessments": 1, "observations": 1,
		"grades": 1, "recusals": 1, "decisions": 1, "roster": 1, "group_members": 1, "players": 1, "answers": 3,
	}})
	see(t, s, club, func(tx store.Tx) {
		same(t, len(exportOf(t, tx, ref, 100)), 0)
		log := must(tx.Changes(ctx, 0, 0))(t)
		same(t, []string{log[0].Who, log[0].What, log[0].Entity}, []string{"k7", "player.erased", "player/" + p.ID})
		same(t, must(tx.VerifyChanges(ctx))(t), int64(2))
	})
	fails(t, s, club, store.ErrNotFound, func(tx store.Tx) error { _, err := tx.ErasePlayer(ctx, ref, "k7"); return err })
	// The reference may be used again; it is another player then.
	do(t, s, club, func(tx store.Tx) {
		ok(t, tx.EnsurePlayers(ctx, ref))
		if must(tx.Player(ctx, ref))(t).ID == p.ID {
			t.Fatal("the surrogate came back")
		}
	})
}

func erasureOthers(t *testing.T, s store.Store) {
	alder, birch := NewClub(t, s, "Alder"), NewClub(t, s, "Birch")
	Everything(t, s, alder, "P-1")
	Everything(t, s, alder, "P-2")
	other := Sub("P-1", "2026-05-09", "of another club")
	save(t, s, birch, other)
	export := func(club, ref string) (d map[string][]any) {
		see(t, s, club, func(tx store.Tx) { d = exportOf(t, tx, ref, 100) })
		return d
	}
	before, beyond := export(alder, "P-2"), export(birch, "P-1")
	do(t, s, alder, func(tx store.Tx) { must(tx.ErasePlayer(ctx, "P-1", "k"))(t) })
	same(t, export(alder, "P-2"), before)
	same(t, export(birch, "P-1"), beyond)
	do(t, s, alder, func(tx store.Tx) {
		a, err := tx.BeginAnswer(ctx, store.Answer{Key: "key P-2", Expires: later()})
		ok(t, err)
		if a == nil || a.Body != fmt.Sprintf(`{"player":%q}`, "P-2") {
			t.Fatalf("found %v, want the other player's answer kept", a)
		}
	})
}

// erasureMeanwhile erases a player again and again while others submit: neither
// fails, and what is left is whole.
func erasureMeanwhile(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	var wait sync.WaitGroup
	errs := make(chan error, 200)
	for w := range 3 {
		wait.Go(func() {
			for i := range 20 {
				errs <- s.InTx(ctx, club, func(tx store.Tx) error {
					if err := tx.EnsurePlayers(ctx, "P-1", "P-2"); err != nil {
						return err
					}
					return tx.Save(ctx, []store.Submission{Sub("P-1", "2026-05-09", fmt.Sprintf("m%d %d", w, i))})
				})
			}
		})
	}
	wait.Go(func() {
		for range 20 {
			err := s.InTx(ctx, club, func(tx store.Tx) error { _, err := tx.ErasePlayer(ctx, "P-1", "k"); return err })
			if !errors.Is(err, store.ErrNotFound) {
				errs <- err
			}
		}
	})
	wait.Wait()
	close(errs)
	for err := range errs {
		ok(t, err)
	}
	see(t, s, club, func(tx store.Tx) {
		d := exportOf(t, tx, "P-1", 100)
		same(t, len(d["assessments"]), len(d["observations"]))
	})
}
