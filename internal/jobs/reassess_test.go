package jobs_test

import (
	"context"
	"sync"
	"testing"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

// Whoever asks for a re-assessment that waits or runs already is given that one,
// however many ask at once. Another club, another version and one that follows
// an ended one are others.
func TestOneReassessmentAtOnce(t *testing.T) {
	each(t, func(t *testing.T, url string) {
		s := serve(t, url)
		a, other := s.admin(t, "North"), s.admin(t, "South")
		s.publish(t, a)
		ask := func(a club.Actor) string {
			t.Helper()
			id, err := s.clubs.Reassess(ctx, a, "throw-to-second")
			if err != nil {
				t.Error(err)
			}
			return id
		}
		const askers = 28
		var ids [askers]string
		var all sync.WaitGroup
		for i := range ids {
			all.Go(func() { ids[i] = ask(a) })
		}
		all.Wait()
		first := ids[0]
		for _, id := range ids {
			if id != first {
				t.Fatalf("found %s and %s", first, id)
			}
		}
		s.leave(t) // running
		if id := ask(a); id != first {
			t.Errorf("while it runs: found %s, want %s", id, first)
		}
		if id := ask(other); id == first {
			t.Error("another club is given the same job")
		}
		if _, err := s.clubs.CancelJob(ctx, a, first); err != nil {
			t.Fatal(err)
		}
		second := ask(a)
		if third := ask(a); second == first || third != second {
			t.Errorf("while it is told to stop: found %s and %s, want one other than %s", second, third, first)
		}
		s.publish(t, a)
		next := ask(a)
		if next == second {
			t.Error("another version is given the same job")
		}
		if n := s.count(t, "reassess"); n != 4 {
			t.Errorf("%d jobs, want 4", n)
		}
		s.start(t)
		s.until(t, a, next)
		if id := ask(a); id == next {
			t.Error("a job that has ended stands for another")
		}
	})
}

// A job that is cancelled while it runs stops after the part it is at, and what
// it has done stays.
func TestCancelWhileRunning(t *testing.T) {
	each(t, func(t *testing.T, url string) {
		s := serve(t, url)
		a := s.admin(t, "North")
		const players = 150
		s.submit(t, a, players)
		s.publish(t, a)
		id, err := s.clubs.Reassess(ctx, a, "throw-to-second")
		if err != nil {
			t.Fatal(err)
		}
		b := &bounded{Store: s.db, leave: make(chan struct{})}
		s.clubs.Store = b
		s.start(t)
		anew := func() int {
			l, err := s.clubs.Assessments(ctx, a, store.AssessmentFilter{Version: 2}, "", players)
			if err != nil {
				t.Fatal(err)
			}
			return len(l.Items)
		}
		waitFor(t, "the first part", func() bool { return anew() > 0 })
		if j, err := s.queue.CancelJob(ctx, a.Club, id); err != nil || j.State != club.JobRunning {
			t.Errorf("found %+v, %v", j, err)
		}
		close(b.leave)
		j := s.until(t, a, id)
		if j.State != club.JobCancelled || j.Problem != "" || j.Progress.Done == 0 || j.Progress.Done == players || j.Progress.Done != anew() {
			t.Errorf("found %+v and %d made anew", j, anew())
		}
	})
}

// bounded keeps who has written something until it may leave.
type bounded struct {
	store.Store
	leave chan struct{}
}

// InTx waits behind the transaction.
func (b *bounded) InTx(ctx context.Context, club string, fn func(store.Tx) error) error {
	err := b.Store.InTx(ctx, club, fn)
	<-b.leave
	return err
}
