package jobs_test

import (
	"testing"
	"time"

	"rootcue/internal/club"
)

// A job that was running when its server was killed is taken up by another, or
// by the same after its next start, though that has happened more often than a
// receiver is tried.
func TestLeftBehind(t *testing.T) {
	each(t, func(t *testing.T, url string) {
		s := serve(t, url)
		a, r := s.admin(t, "North"), newReceiver(t, 204)
		w := s.hook(t, a, r)
		d, err := s.clubs.TestWebhook(ctx, a, w.ID)
		if err != nil {
			t.Fatal(err)
		}
		s.leave(t)
		s.start(t)
		waitFor(t, "the message of a job left behind", func() bool { return r.count() == 1 })
		waitFor(t, "its end to be noted", func() bool {
			list, err := s.clubs.Deliveries(ctx, a, w.ID, 1)
			return err == nil && list[0].ID == d.ID && list[0].State == club.DeliveryDone
		})
	})
}

// leave makes every job one that a server which was killed an hour ago was
// running.
func (s *server) leave(t testing.TB) {
	t.Helper()
	left := time.Now().Add(-time.Hour).UTC().Format("2006-01-02 15:04:05.000")
	statement := `UPDATE river_job SET state = 'running', attempt = 3, attempted_at = '` + left + `'`
	if s.db.Postgres() {
		statement += `::timestamp AT TIME ZONE 'UTC'`
	}
	for _, sql := range []string{statement, `DELETE FROM river_leader`} { // what it led has run out too
		if _, err := s.db.Writer().Exec(sql); err != nil {
			t.Fatal(err)
		}
	}
}
