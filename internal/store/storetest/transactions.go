package storetest

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"

	"rootcue/internal/store"
)

func transactions(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	stop := errors.New("stop")
	fails(t, s, club, stop, func(tx store.Tx) error {
		ok(t, tx.EnsurePlayers(ctx, "P-1"))
		must(tx.Player(ctx, "P-1"))(t) // seen within
		return stop
	})
	func() {
		defer func() { same(t, recover(), "lost") }()
		s.InTx(ctx, club, func(tx store.Tx) error { ok(t, tx.EnsurePlayers(ctx, "P-2")); panic("lost") })
	}()
	see(t, s, club, func(tx store.Tx) { same(t, must(tx.Players(ctx, "", "", 0))(t), []store.Player{}) })

	is(t, s.View(ctx, club, func(tx store.Tx) error { return tx.EnsurePlayers(ctx, "P-1") }), store.ErrReadOnly)

	cancelled, cancel := context.WithCancel(ctx)
	err := s.InTx(cancelled, club, func(tx store.Tx) error {
		ok(t, tx.EnsurePlayers(cancelled, "P-3"))
		cancel()
		return tx.EnsurePlayers(cancelled, "P-4")
	})
	is(t, err, context.Canceled)
	is(t, s.View(cancelled, club, func(store.Tx) error { return nil }), context.Canceled)
	see(t, s, club, func(tx store.Tx) { same(t, must(tx.Players(ctx, "", "", 0))(t), []store.Player{}) })

	do(t, s, club, func(tx store.Tx) {
		var one int
		ok(t, tx.SQL().QueryRowContext(ctx, "SELECT 1").Scan(&one))
		same(t, one, 1)
	})
	ok(t, s.Ready(ctx))
}

// refused values are refused alike by both databases.
func refused(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	save(t, s, club, Sub("P-1", "2026-05-09", "one"))
	player := func(change func(*store.Player)) func(store.Tx) error {
		return func(tx store.Tx) error {
			p := store.Player{Ref: "P-9"}
			change(&p)
			_, err := tx.PutPlayer(ctx, p)
			return err
		}
	}
	submission := func(change func(*store.Submission)) func(store.Tx) error {
		return func(tx store.Tx) error {
			sub := Sub("P-1", "2026-05-09", "two")
			change(&sub)
			return tx.Save(ctx, []store.Submission{sub})
		}
	}
	throw := func(change func(*store.Throw)) func(store.Tx) error {
		return func(tx store.Tx) error {
			w := store.Throw{PlayerRef: "P-1", Date: "2026-05-09", Kind: "pitches"}
			change(&w)
			return tx.AddThrows(ctx, []store.Throw{w})
		}
	}
	for _, c := range []struct {
		name string
		fn   func(store.Tx) error
	}{
		{"empty reference", player(func(p *store.Player) { p.Ref = "" })},
		{"NUL", player(func(p *store.Player) { p.Ref = "a\x00b" })},
		{"not UTF-8", player(func(p *store.Player) { p.HoldWhy = "\xff" })},
		{"born in month 13", player(func(p *store.Player) { p.Born = ptr("2012-13") })},
		{"born on a day", player(func(p *store.Player) { p.Born = ptr("2012-03-01") })},
		{"30 February", player(func(p *store.Player) { p.ConsentOn = ptr("2026-02-30") })},
		{"a word for a date", player(func(p *store.Player) { p.StatureOn = ptr("today") })},
		{"a time for a date", player(func(p *store.Player) { p.AgeOn = ptr("2026-05-09T00:00:00Z") })},
		{"throws with both", player(func(p *store.Player) { p.Throws = ptr("both") })},
		{"no stature", player(func(p *store.Player) { p.StatureCM = ptr(0.0) })},
		{"age below zero", player(func(p *store.Player) { p.Age = ptr(-1) })},
		{"a short date", submission(func(s *store.Submission) { s.Observation.On = "2026-5-9" })},
		{"no date", submission(func(s *store.Submission) { s.Observation.On = "" })},
		{"unknown player", submission(func(s *store.Submission) { s.Observation.PlayerRef = "P-77" })},
		{"unknown tryout", submission(func(s *store.Submission) { s.Observation.TryoutID = ptr("none") })},
		{"NUL in a body", submission(func(s *store.Submission) { s.Assessment.Body = store.Body("\x00") })},
		{"count below zero", throw(func(w *store.Throw) { w.Count = ptr(-1) })},
		{"unknown assessment", throw(func(w *store.Throw) { w.AssessmentID = ptr("none") })},
		{"date with a blank", throw(func(w *store.Throw) { w.Date = " 2026-05-09" })},
	} {
		t.Run(c.name, func(t *testing.T) { fails(t, s, club, store.ErrInvalid, c.fn) })
	}
}

func apart(t *testing.T, s store.Store) {
	alder, birch := NewClub(t, s, "Alder"), NewClub(t, s, "Birch")
	Everything(t, s, alder, "P-1")
	Everything(t, s, birch, "Q-1")
	a := firstAssessment(t, s, alder)
	see(t, s, birch, func(tx store.Tx) {
		for name, read := range map[string]func() error{
			"player":      func() error { _, err := tx.Player(ctx, "P-1"); return err },
			"assessment":  func() error { _, err := tx.Assessment(ctx, a.ID); return err },
			"observation": func() error { _, err := tx.Observation(ctx, a.ObservationID); return err },
		} {
			t.Run(name, func(t *testing.T) { is(t, read(), store.ErrNotFound) })
		}
		same(t, len(exportOf(t, tx, "P-1", 100)), 0)
		same(t, len(must(tx.Players(ctx, "", "", 0))(t)), 1)
		same(t, len(must(tx.Keys(ctx))(t)), 1)
		same(t, len(must(tx.Changes(ctx, 0, 0))(t)), 1)
		same(t, len(must(tx.ObservationsByHash(ctx, []string{Hash("of P-1")}))(t)), 0)
		same(t, len(must(tx.Assessments(ctx, store.AssessmentFilter{Fault: "late-feet", Verdict: "fault"}, store.Page{}))(t)), 1)
	})
	fails(t, s, birch, store.ErrNotFound, func(tx store.Tx) error { _, err := tx.ErasePlayer(ctx, "P-1", "k"); return err })
	fails(t, s, birch, store.ErrInvalid, func(tx store.Tx) error {
		_, err := tx.AddReview(ctx, store.Review{AssessmentID: a.ID}, 0)
		return err
	})
	// The same content in two clubs is two observations.
	save(t, s, birch, Sub("Q-1", "2026-05-09", "of P-1"))
}

func firstAssessment(t testing.TB, s store.Store, club string) store.Assessment {
	t.Helper()
	var a store.Assessment
	see(t, s, club, func(tx store.Tx) { a = must(tx.Assessments(ctx, store.AssessmentFilter{}, store.Page{}))(t)[0] })
	return a
}

// manyWriters all get through: none is lost to a lock.
func manyWriters(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	const writers, each = 8, 10
	var wait sync.WaitGroup
	errs := make(chan error, writers*each)
	for w := range writers {
		wait.Go(func() {
			for i := range each {
				word := fmt.Sprintf("w%d-%d", w, i)
				errs <- s.InTx(ctx, club, func(tx store.Tx) error {
					if err := tx.EnsurePlayers(ctx, "P-1", fmt.Sprintf("P-%d", w)); err != nil {
						return err
					}
					if err := tx.Save(ctx, []store.Submission{Sub("P-1", "2026-05-09", word)}); err != nil {
						return err
					}
					return tx.AppendChanges(ctx, []store.Change{{Who: "k", What: "observation.stored"}})
				})
			}
		})
	}
	wait.Wait()
	close(errs)
	for err := range errs {
		ok(t, err)
	}
	see(t, s, club, func(tx store.Tx) {
		same(t, must(tx.VerifyChanges(ctx))(t), int64(writers*each))
		same(t, len(must(tx.Observations(ctx, store.ObservationFilter{}, store.Page{}))(t)), writers*each)
	})
}
