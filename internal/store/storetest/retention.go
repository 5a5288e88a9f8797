package storetest

import (
	"testing"

	"rootcue/internal/store"
)

func sweep(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	Everything(t, s, club, "P-1")
	a := firstAssessment(t, s, club)
	do(t, s, club, func(tx store.Tx) {
		key := must(tx.Keys(ctx))(t)[0].ID
		ok(t, tx.AddSession(ctx, store.Session{Hash: Hash("old"), KeyID: key, Expires: past()}))
		ok(t, tx.AddSession(ctx, store.Session{Hash: Hash("new"), KeyID: key, Expires: later()}))
		must(tx.BeginAnswer(ctx, store.Answer{Key: "old", Expires: past()}))(t)
		must(tx.AddLink(ctx, store.Link{Hash: Hash("old"), AssessmentID: a.ID, Expires: past()}))(t)
		revoked := must(tx.AddLink(ctx, store.Link{Hash: Hash("revoked"), AssessmentID: a.ID, Expires: later()}))(t)
		ok(t, tx.RevokeLink(ctx, revoked.ID))
		hook := must(tx.Webhooks(ctx))(t)[0].ID
		must(tx.AddDelivery(ctx, store.Delivery{WebhookID: hook, State: "done", DoneAt: past().Ptr()}))(t)
	})
	do(t, s, club, func(tx store.Tx) {
		same(t, must(tx.Sweep(ctx, "2000-01-01"))(t), map[string]int{"sessions": 1, "answers": 1})
		same(t, must(tx.Sweep(ctx, later().Date()))(t), map[string]int{"links": 2, "deliveries": 1})
		same(t, must(tx.Sweep(ctx, later().Date()))(t), map[string]int{})
	})
}

func retention(t *testing.T, s store.Store) {
	club := NewClub(t, s, "Alder")
	Everything(t, s, club, "P-1") // observed on 9 May
	do(t, s, club, func(tx store.Tx) {
		must(tx.PutPlayer(ctx, store.Player{Ref: "P-held", LegalHold: true}))(t)
		ok(t, tx.AddThrows(ctx, []store.Throw{{PlayerRef: "P-held", Date: "2026-05-01", Kind: "pitches"}}))
	})
	save(t, s, club, Sub("P-held", "2026-05-01", "held"), Sub("P-1", "2026-05-10", "on the day"), Sub("P-2", "2026-05-01", "first"))
	forget := func(before string, limit int) (n map[string]int) {
		do(t, s, club, func(tx store.Tx) { n = must(tx.ForgetBefore(ctx, before, limit))(t) })
		return n
	}
	same(t, forget("2026-05-01", 0), map[string]int{})
	same(t, forget("2026-05-10", 1), map[string]int{"observations": 1, "assessments": 1, "fresh_verdicts": 1, "throws": 1}) // the oldest first
	same(t, forget("2026-05-10", 1), map[string]int{"observations": 1, "assessments": 1, "fresh_verdicts": 1, "reviews": 1, "links": 1, "cues": 1})
	same(t, forget("2026-05-10", 1), map[string]int{})
	see(t, s, club, func(tx store.Tx) {
		left := must(tx.Observations(ctx, store.ObservationFilter{}, store.Page{}))(t)
		same(t, []string{left[0].PlayerRef, left[1].PlayerRef}, []string{"P-1", "P-held"})
		same(t, len(must(tx.Throws(ctx, "P-held", "", "", false))(t)), 1)
		must(tx.Player(ctx, "P-2"))(t) // the player stays
	})
}
