package storetest

import (
	"fmt"
	"testing"

	"rootcue/internal/store"
)

// Sub is a submission of a player on a date; word makes its content differ.
func Sub(player, on, word string) store.Submission {
	return store.Submission{
		Observation: store.Observation{
			PlayerRef: player, Rubric: "throw-to-second", On: on, Session: "spring", Rater: "E1",
			Input: store.Body(`{"rubric":"throw-to-second","word":"` + word + `"}`), InputHash: Hash(word),
		},
		Assessment: store.Assessment{
			RubricVersion: 1, Body: store.Body(`{"findings":[],"word":"` + word + `"}`),
			Measures: store.Measures{"exchange_time": {Value: 1.02, U: 0.01, Unit: "s", Reps: 3}},
		},
		Verdicts: []store.Verdict{{Fault: "late-feet", Verdict: "fault"}, {Fault: "tall-set", Verdict: "sound"}},
	}
}

// save keeps submissions, their players made first.
func save(t testing.TB, s store.Store, club string, subs ...store.Submission) []store.Submission {
	t.Helper()
	do(t, s, club, func(tx store.Tx) {
		for _, sub := range subs {
			ok(t, tx.EnsurePlayers(ctx, sub.Observation.PlayerRef))
		}
		ok(t, tx.Save(ctx, subs))
	})
	return subs
}

// Everything gives a player a row in every table that can hold one, and a log
// entry. The tryout is made new; its bib is the player's reference.
func Everything(t testing.TB, s store.Store, club, ref string) {
	t.Helper()
	do(t, s, club, func(tx store.Tx) {
		must(tx.PutPlayer(ctx, store.Player{
			Ref: ref, Born: ptr("2012-03"), Age: ptr(14), AgeOn: ptr("2026-05-01"), Throws: ptr("left"), StatureCM: ptr(163.5),
			StatureOn: ptr("2026-04-01"), Groups: store.Strings{"u14"}, ConsentOn: ptr("2026-01-10"), ConsentScope: "film and notes",
		}))(t)
		tryout := must(tx.AddTryout(ctx, store.Tryout{Name: "Spring", Settings: store.JSON(`{"best":4}`)}))(t)
		sub := Sub(ref, "2026-05-09", "of "+ref)
		sub.Observation.TryoutID = &tryout.ID
		subs := []store.Submission{sub}
		ok(t, tx.Save(ctx, subs))
		a, o := subs[0].Assessment, subs[0].Observation
		must(tx.AddReview(ctx, store.Review{AssessmentID: a.ID, Body: store.JSON(`{"note":"good work"}`), Released: true, Who: "k1"}, 0))(t)
		ok(t, tx.AddCues(ctx, []store.Cue{{PlayerRef: ref, AssessmentID: &a.ID, Fault: "late-feet", Drill: "chalk-line-feet", HandedOn: "2026-05-10", Who: "k1"}}))
		ok(t, tx.AddThrows(ctx, []store.Throw{{PlayerRef: ref, Date: "2026-05-09", Kind: "base-throws", Count: ptr(6), AssessmentID: &a.ID, Source: "assessment"}}))
		ok(t, tx.PutRoster(ctx, []store.RosterEntry{{TryoutID: tryout.ID, Bib: ref, PlayerRef: ref}}))
		must(tx.PutGrades(ctx, []store.Grade{{TryoutID: tryout.ID, Bib: ref, Evaluator: "E1", Item: "receiving", Look: 1, Grade: "4"}}))(t)
		ok(t, tx.PutRecusal(ctx, store.Recusal{TryoutID: tryout.ID, Bib: ref, Evaluator: "E2", Why: "family"}))
		must(tx.AddDecision(ctx, store.Decision{TryoutID: tryout.ID, Bib: ref, Kind: "decision", Body: store.JSON(`{"in":true}`), Who: "k1"}))(t)
		must(tx.PutGroup(ctx, "evening-"+Hash(ref)[:8], []string{ref}))(t)
		must(tx.AddLink(ctx, store.Link{Hash: Hash(club + ref), AssessmentID: a.ID, Who: "k1", Expires: later()}))(t)
		hook := must(tx.AddWebhook(ctx, store.Webhook{URL: "https://club.example/hook", Secret: "s", Events: store.Strings{"assessment.ready"}, State: "on"}))(t)
		ok(t, tx.AddFormerSecret(ctx, store.FormerSecret{WebhookID: hook.ID, Secret: "r", Until: later()}))
		must(tx.AddDelivery(ctx, store.Delivery{WebhookID: hook.ID, Event: "assessment.ready", PlayerRef: &ref, Body: store.JSON(`{"assessment":"` + a.ID + `"}`), State: "done"}))(t)
		must(tx.BeginAnswer(ctx, store.Answer{Key: "key " + ref, Route: "POST /v1/observations", BodyHash: Hash("b"), Expires: later()}))(t)
		ok(t, tx.FinishAnswer(ctx, store.Answer{Key: "key " + ref, Status: 201, ContentType: "application/json", Body: fmt.Sprintf(`{"player":%q}`, ref), Expires: later()}))
		ok(t, tx.AppendChanges(ctx, []store.Change{{Who: "k1", What: "observation.stored", Entity: "observation/" + o.ID}}))
	})
}
