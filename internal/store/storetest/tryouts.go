package storetest

import (
	"testing"

	"rootcue/internal/store"
)

func tryouts(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	var first, second store.Tryout
	do(t, s, club, func(tx store.Tx) {
		first = must(tx.AddTryout(ctx, store.Tryout{Name: "Spring", Settings: store.JSON(`{"best":4}`)}))(t)
		ok(t, tx.EnsurePlayers(ctx, "P-1", "P-2", "P-3"))
	})
	do(t, s, club, func(tx store.Tx) { second = must(tx.AddTryout(ctx, store.Tryout{Name: "Autumn"}))(t) })
	same(t, []string{first.State, second.State}, []string{store.TryoutOpen, store.TryoutOpen})
	first.State, first.Name = store.TryoutClosed, "Spring 2026"
	do(t, s, club, func(tx store.Tx) { ok(t, tx.PutTryout(ctx, first)) })
	second.Settings = store.JSON(`{}`) // none given
	see(t, s, club, func(tx store.Tx) {
		same(t, must(tx.Tryouts(ctx))(t), []store.Tryout{second, first})
		same(t, must(tx.Tryout(ctx, first.ID))(t), first)
		_, err := tx.Tryout(ctx, "none")
		is(t, err, store.ErrNotFound)
	})
	fails(t, s, club, store.ErrNotFound, func(tx store.Tx) error {
		return tx.PutTryout(ctx, store.Tryout{ID: "none", State: store.TryoutOpen})
	})
	fails(t, s, club, store.ErrInvalid, func(tx store.Tx) error {
		return tx.PutTryout(ctx, store.Tryout{ID: first.ID, State: "paused"})
	})

	entry := func(bib, player string) store.RosterEntry {
		return store.RosterEntry{TryoutID: first.ID, Bib: bib, PlayerRef: player, At: past()}
	}
	do(t, s, club, func(tx store.Tx) {
		ok(t, tx.PutRoster(ctx, []store.RosterEntry{entry("14", "P-1"), entry("9", "P-2")}))
		withdrawn := entry("9", "P-2")
		withdrawn.WithdrawnAt = ptr(tx.Now())
		ok(t, tx.PutRoster(ctx, []store.RosterEntry{withdrawn, entry("14", "P-3")})) // the bib changed hands
		roster := must(tx.Roster(ctx, first.ID))(t)
		same(t, []string{roster[0].Bib, roster[0].PlayerRef, roster[1].Bib, roster[1].PlayerRef}, []string{"14", "P-3", "9", "P-2"})
		same(t, roster[1].WithdrawnAt, ptr(tx.Now()))
	})
	fails(t, s, club, store.ErrConflict, func(tx store.Tx) error { return tx.PutRoster(ctx, []store.RosterEntry{entry("15", "P-2")}) })
	fails(t, s, club, store.ErrInvalid, func(tx store.Tx) error { return tx.PutRoster(ctx, []store.RosterEntry{entry("15", "P-9")}) })

	do(t, s, club, func(tx store.Tx) {
		ok(t, tx.PutRecusal(ctx, store.Recusal{TryoutID: first.ID, Bib: "14", Evaluator: "E2", Why: "family", Who: "k"}))
		ok(t, tx.PutRecusal(ctx, store.Recusal{TryoutID: first.ID, Bib: "14", Evaluator: "E2", Why: "a cousin", Who: "k"}))
		r := must(tx.Recusals(ctx, first.ID))(t)
		same(t, []any{len(r), r[0].Why}, []any{1, "a cousin"})
		d := must(tx.AddDecision(ctx, store.Decision{TryoutID: first.ID, Bib: "14", Kind: "decision", Body: store.JSON(`{"in":false}`), Who: "k"}))(t)
		p := must(tx.AddDecision(ctx, store.Decision{TryoutID: first.ID, Bib: "14", Kind: "appeal", Body: store.JSON(`{"why":"ill"}`), Who: "k"}))(t)
		same(t, must(tx.Decisions(ctx, first.ID))(t), []store.Decision{d, p})
		same(t, must(tx.Decisions(ctx, second.ID))(t), []store.Decision{})
	})
	fails(t, s, club, store.ErrInvalid, func(tx store.Tx) error {
		_, err := tx.AddDecision(ctx, store.Decision{TryoutID: first.ID, Bib: "14", Kind: "rumour"})
		return err
	})
	do(t, s, club, func(tx store.Tx) { ok(t, tx.DropRecusal(ctx, first.ID, "E2", "14")) })
	fails(t, s, club, store.ErrNotFound, func(tx store.Tx) error { return tx.DropRecusal(ctx, first.ID, "E2", "14") })
}

// bibs are corrected after grades came in: all of a player's rows follow.
func bibs(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	var id string
	do(t, s, club, func(tx store.Tx) {
		id = must(tx.AddTryout(ctx, store.Tryout{Name: "Spring"}))(t).ID
		other := must(tx.AddTryout(ctx, store.Tryout{Name: "Autumn"}))(t).ID
		ok(t, tx.EnsurePlayers(ctx, "P-1", "P-2", "P-3"))
		ok(t, tx.PutRoster(ctx, []store.RosterEntry{{TryoutID: id, Bib: "1", PlayerRef: "P-1"}, {TryoutID: id, Bib: "2", PlayerRef: "P-2"},
			{TryoutID: id, Bib: "3", PlayerRef: "P-3"}, {TryoutID: other, Bib: "1", PlayerRef: "P-1"}}))
		must(tx.PutGrades(ctx, []store.Grade{{TryoutID: id, Bib: "1", Evaluator: "E1", Item: "hands", Look: 1, Grade: "4"},
			{TryoutID: id, Bib: "2", Evaluator: "E1", Item: "hands", Look: 3, Grade: "2"}, {TryoutID: other, Bib: "1", Evaluator: "E1", Item: "hands", Look: 1, Grade: "5"}}))(t)
		ok(t, tx.PutRecusal(ctx, store.Recusal{TryoutID: id, Bib: "1", Evaluator: "E2", Why: "family", Who: "k"}))
		must(tx.AddDecision(ctx, store.Decision{TryoutID: id, Bib: "2", Kind: "decision", Who: "k"}))(t)
		same(t, len(must(tx.RosterOf(ctx, "P-1"))(t)), 2)
		same(t, must(tx.LastLooks(ctx, id, "E1"))(t), map[string]int{"1": 1, "2": 3})
		same(t, must(tx.LastLooks(ctx, id, "E9"))(t), map[string]int{})
		same(t, must(tx.CountGrades(ctx, id))(t), 2)
	})
	do(t, s, club, func(tx store.Tx) { ok(t, tx.MoveBibs(ctx, id, map[string]string{"1": "2", "2": "14"})) })
	see(t, s, club, func(tx store.Tx) {
		var found []string
		for _, e := range must(tx.Roster(ctx, id))(t) {
			found = append(found, e.Bib+" "+e.PlayerRef)
		}
		for _, g := range must(tx.Grades(ctx, id))(t) {
			found = append(found, g.Bib+" "+g.Grade)
		}
		same(t, found, []string{"14 P-2", "2 P-1", "3 P-3", "14 2", "2 4"})
		same(t, []string{must(tx.Recusals(ctx, id))(t)[0].Bib, must(tx.Decisions(ctx, id))(t)[0].Bib}, []string{"2", "14"})
	})
	for want, move := range map[error]map[string]string{store.ErrConflict: {"2": "3"}, store.ErrNotFound: {"9": "10"}} {
		fails(t, s, club, want, func(tx store.Tx) error { return tx.MoveBibs(ctx, id, move) })
	}
}

func grades(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	var id string
	do(t, s, club, func(tx store.Tx) {
		id = must(tx.AddTryout(ctx, store.Tryout{Name: "Spring"}))(t).ID
		ok(t, tx.EnsurePlayers(ctx, "P-1"))
		ok(t, tx.PutRoster(ctx, []store.RosterEntry{{TryoutID: id, Bib: "14", PlayerRef: "P-1"}}))
	})
	g := func(look int, grade string) store.Grade {
		return store.Grade{TryoutID: id, Bib: "14", Evaluator: "E1", Item: "receiving", Look: look, Grade: grade, Who: "k1"}
	}
	for _, step := range []struct {
		in   []store.Grade
		want []string
	}{
		{[]store.Grade{g(1, "4"), g(2, "5")}, []string{"stored", "stored"}},
		{[]store.Grade{g(1, "4"), g(2, "3")}, []string{"same", "corrected"}},
		{[]store.Grade{g(3, "yes"), g(3, "yes"), g(3, "no")}, []string{"stored", "same", "corrected"}},
		{nil, []string{}},
	} {
		do(t, s, club, func(tx store.Tx) { same(t, must(tx.PutGrades(ctx, step.in))(t), step.want) })
	}
	see(t, s, club, func(tx store.Tx) {
		var found []string
		for _, g := range must(tx.Grades(ctx, id))(t) {
			found = append(found, g.Grade)
		}
		same(t, found, []string{"4", "3", "no"})
	})
	for _, bad := range []store.Grade{g(0, "4"), {TryoutID: id, Bib: "15", Evaluator: "E1", Item: "receiving", Look: 1}, {TryoutID: "none", Bib: "14", Look: 1}} {
		fails(t, s, club, store.ErrInvalid, func(tx store.Tx) error { _, err := tx.PutGrades(ctx, []store.Grade{bad}); return err })
	}
}
