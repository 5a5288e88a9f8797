package jobs_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	standardwebhooks "github.com/standard-webhooks/standard-webhooks/libraries/go"

	"rootcue/internal/club"
	"rootcue/internal/jobs"
	"rootcue/internal/store"
	"rootcue/internal/store/sqlstore"
	"rootcue/internal/store/storetest"
	"rootcue/internal/webhook"
)

func TestMain(m *testing.M) {
	if url := os.Getenv(workOn); url != "" {
		fmt.Fprintln(os.Stderr, work(url))
		os.Exit(1)
	}
	storetest.Main(m)
}

var ctx = context.Background()

// each runs a test on an embedded database and on PostgreSQL; a test may open
// its database several times.
func each(t *testing.T, test func(t *testing.T, url string)) {
	t.Run("embedded", func(t *testing.T) { t.Parallel(); test(t, filepath.Join(t.TempDir(), "club.db")) })
	t.Run("PostgreSQL", func(t *testing.T) { t.Parallel(); test(t, storetest.Postgres(t)) })
}

// A server is a program that runs jobs.
type server struct {
	db    *sqlstore.DB
	clubs *club.Clubs
	queue *jobs.Queue
}

// serve opens a database and builds what runs its jobs; it starts nothing.
func serve(t testing.TB, url string) *server {
	t.Helper()
	db, err := sqlstore.Open(ctx, url)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := db.Close(); err != nil {
			t.Error(err)
		}
	})
	if err := errors.Join(db.Migrate(ctx), jobs.Migrate(ctx, db)); err != nil {
		t.Fatal(err)
	}
	s := &server{db: db, clubs: club.New(db)}
	s.clubs.Sender = webhook.New(true, nil)
	s.queue, err = jobs.New(db, s.clubs, jobs.Options{Poll: 20 * time.Millisecond, After: []time.Duration{time.Millisecond, time.Millisecond}})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func (s *server) start(t testing.TB) {
	t.Helper()
	if err := s.queue.Start(ctx); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.stop)
}

func (s *server) stop() {
	c, cancel := context.WithTimeout(ctx, 10*time.Second)
	defer cancel()
	_ = s.queue.Stop(c) // stopped already is stopped
}

// admin is who asks, in a club of that name.
func (s *server) admin(t testing.TB, name string) club.Actor {
	t.Helper()
	_, secret, err := s.clubs.AddFirstKey(ctx, name, club.NewKey{Role: "admin"})
	if err != nil {
		t.Fatal(err)
	}
	id, k, err := s.clubs.Authenticate(ctx, secret)
	if err != nil {
		t.Fatal(err)
	}
	return club.Actor{Club: id, KeyID: k.ID, Health: true, Admin: true}
}

// submit stores n observations of as many players.
func (s *server) submit(t testing.TB, a club.Actor, n int) {
	t.Helper()
	var docs []string
	for i := range n {
		docs = append(docs, fmt.Sprintf(`{"rubric": "throw-to-second", "player": {"ref": "P-%04d", "age": 12, "stature_cm": 151}, "on": "2026-05-09", "reps": [{"rep": 1, "measures": {"stride_off_line": 17}}]}`, i))
	}
	done, err := s.clubs.Submit(ctx, a, club.NDJSON(strings.NewReader(strings.Join(docs, "\n"))), func([]club.Line) error { return nil })
	if err != nil || done.Stored != n {
		t.Fatalf("stored %+v of %d: %v", done, n, err)
	}
}

// publish makes the next version of the rubric.
func (s *server) publish(t testing.TB, a club.Actor) {
	t.Helper()
	v, err := s.clubs.Rubric(ctx, a, "throw-to-second", 0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.clubs.Publish(ctx, a, club.Publication{Name: v.Name, Source: append([]byte("# anew\n"), v.Source...), Base: v.Version}); err != nil {
		t.Fatal(err)
	}
}

// until waits for a job to end.
func (s *server) until(t testing.TB, a club.Actor, id string) club.Job {
	t.Helper()
	for deadline := time.Now().Add(2 * time.Minute); ; time.Sleep(10 * time.Millisecond) {
		j, err := s.clubs.Job(ctx, a, id)
		if err != nil {
			t.Fatal(err)
		}
		if j.Ended() {
			return j
		}
		if time.Now().After(deadline) {
			t.Fatalf("the job is still %+v", j)
		}
	}
}

// waitFor waits for something to become true.
func waitFor(t testing.TB, what string, is func() bool) {
	t.Helper()
	for deadline := time.Now().Add(2 * time.Minute); !is(); time.Sleep(10 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatalf("waited in vain for %s", what)
		}
	}
}

func TestReassess(t *testing.T) {
	each(t, func(t *testing.T, url string) {
		s := serve(t, url)
		a, other := s.admin(t, "North"), s.admin(t, "South")
		s.submit(t, a, 450)
		s.publish(t, a)
		id, err := s.clubs.Reassess(ctx, a, "throw-to-second")
		if err != nil {
			t.Fatal(err)
		}
		if j, err := s.clubs.Job(ctx, a, id); err != nil || j.State != club.JobWaiting || j.Kind != "reassess" {
			t.Errorf("before it runs: %+v, %v", j, err)
		}
		s.start(t)
		if j := s.until(t, a, id); j.State != club.JobDone || j.Progress.Done != 450 || j.Progress.Kept != 0 {
			t.Errorf("found %+v", j)
		}
		for _, job := range []string{id, store.NewID()} {
			if _, err := s.clubs.Job(ctx, other, job); !errors.Is(err, store.ErrNotFound) {
				t.Errorf("another club is told of a job: %v", err)
			}
			if _, err := s.clubs.CancelJob(ctx, other, job); !errors.Is(err, store.ErrNotFound) {
				t.Errorf("another club cancels a job: %v", err)
			}
		}
		l, err := s.clubs.Assessments(ctx, a, store.AssessmentFilter{Version: 2}, "", 1000)
		if err != nil || len(l.Items) != 450 {
			t.Errorf("%d assessments of the new version, %v", len(l.Items), err)
		}
	})
}

// A job whose transaction is undone was never there.
func TestJobGoesWithItsTransaction(t *testing.T) {
	each(t, func(t *testing.T, url string) {
		s := serve(t, url)
		a := s.admin(t, "North")
		id, undone := "", errors.New("undone")
		err := s.db.InTx(ctx, a.Club, func(tx store.Tx) (err error) {
			if id, err = s.queue.Reassess(ctx, tx, "throw-to-second", 1, a.KeyID); err != nil {
				return err
			}
			return undone
		})
		if !errors.Is(err, undone) {
			t.Fatal(err)
		}
		if j, err := s.clubs.Job(ctx, a, id); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("found %+v, %v", j, err)
		}
	})
}

// What a server that stopped has left is done by the next one.
func TestJobsSurviveARestart(t *testing.T) {
	each(t, func(t *testing.T, url string) {
		one := serve(t, url)
		a := one.admin(t, "North")
		one.submit(t, a, 500)
		one.publish(t, a)
		id, err := one.clubs.Reassess(ctx, a, "throw-to-second")
		if err != nil {
			t.Fatal(err)
		}
		one.start(t)
		waitFor(t, "the first part", func() bool {
			j, err := one.clubs.Job(ctx, a, id)
			return err != nil || j.Progress.Done > 0
		})
		one.stop()
		two := serve(t, url)
		two.start(t)
		j := two.until(t, a, id)
		if j.State != club.JobDone || j.Progress.Done+j.Progress.Kept < 500 {
			t.Errorf("found %+v", j)
		}
		l, err := two.clubs.Assessments(ctx, a, store.AssessmentFilter{Version: 2}, "", 500)
		if err != nil || len(l.Items) != 500 {
			t.Errorf("%d assessments of the new version, %v", len(l.Items), err)
		}
	})
}

func TestCancel(t *testing.T) {
	each(t, func(t *testing.T, url string) {
		s := serve(t, url)
		a := s.admin(t, "North")
		s.submit(t, a, 1)
		s.publish(t, a)
		id, err := s.clubs.Reassess(ctx, a, "throw-to-second")
		if err != nil {
			t.Fatal(err)
		}
		if j, err := s.clubs.CancelJob(ctx, a, id); err != nil || j.State != club.JobCancelled {
			t.Errorf("found %+v, %v", j, err)
		}
		s.start(t)
		next, err := s.clubs.Reassess(ctx, a, "throw-to-second")
		if err != nil {
			t.Fatal(err)
		}
		s.until(t, a, next)
		if j := s.until(t, a, id); j.State != club.JobCancelled || j.Progress.Done != 0 {
			t.Errorf("a cancelled job was done: %+v", j)
		}
	})
}

// A receiver takes messages, checks their signatures with the scheme's own
// library, and answers as it is told.
type receiver struct {
	sync.Mutex
	t      *testing.T
	secret string
	status int
	got    map[string]int // attempts by webhook-id
	bodies []string
	url    string
}

func newReceiver(t *testing.T, status int) *receiver {
	r := &receiver{t: t, status: status, got: map[string]int{}}
	s := httptest.NewServer(r)
	t.Cleanup(s.Close)
	r.url = s.URL
	return r
}

// ServeHTTP takes a message.
func (r *receiver) ServeHTTP(w http.ResponseWriter, req *http.Request) {
	r.Lock()
	defer r.Unlock()
	body, _ := io.ReadAll(req.Body)
	library, err := standardwebhooks.NewWebhook(r.secret)
	if err == nil {
		err = library.Verify(body, req.Header)
	}
	if err != nil {
		r.t.Errorf("the scheme's library refuses a message: %v", err)
	}
	r.got[req.Header.Get("webhook-id")]++
	r.bodies = append(r.bodies, string(body))
	w.WriteHeader(r.status)
}

func (r *receiver) count() (n int) {
	r.Lock()
	defer r.Unlock()
	for _, times := range r.got {
		n += times
	}
	return n
}

func (s *server) hook(t testing.TB, a club.Actor, r *receiver, events ...string) store.Webhook {
	t.Helper()
	w, err := s.clubs.AddWebhook(ctx, a, r.url, events)
	if err != nil {
		t.Fatal(err)
	}
	r.Lock()
	r.secret = w.Secret
	r.Unlock()
	return w
}

func TestWebhooks(t *testing.T) {
	each(t, func(t *testing.T, url string) {
		s := serve(t, url)
		a, r := s.admin(t, "North"), newReceiver(t, 204)
		w := s.hook(t, a, r, club.EventStored)
		s.start(t)
		s.submit(t, a, 3)
		if _, err := s.clubs.TestWebhook(ctx, a, w.ID); err != nil {
			t.Fatal(err)
		}
		done := func(n int) func() bool {
			return func() bool {
				list, err := s.clubs.Deliveries(ctx, a, w.ID, 100)
				for _, d := range list {
					if d.State != club.DeliveryDone {
						return false
					}
				}
				return err == nil && len(list) == n && r.count() >= n
			}
		}
		waitFor(t, "both messages", done(2))
		for _, body := range r.bodies {
			var m struct {
				Type      string
				Timestamp time.Time
				Data      map[string]any
			}
			if err := json.Unmarshal([]byte(body), &m); err != nil || m.Type == "" || m.Timestamp.IsZero() || m.Data == nil || strings.Contains(body, "P-00") {
				t.Errorf("found %s, %v", body, err)
			}
		}
		if n, err := s.clubs.ReplayDeliveries(ctx, a, w.ID, "", time.Now().Add(-time.Hour)); n != 2 || err != nil {
			t.Errorf("%d sent again, %v", n, err)
		}
		waitFor(t, "both again", func() bool { return r.count() == 4 })
		if len(r.got) != 2 {
			t.Errorf("a message sent again has another id: %v", r.got)
		}
	})
}

// After a whole row of failures the webhook is disabled; a message to a
// receiver that is gone disables it at once.
func TestFailingWebhooks(t *testing.T) {
	each(t, func(t *testing.T, url string) {
		s := serve(t, url)
		a := s.admin(t, "North")
		gone := newReceiver(t, 410)
		w := s.hook(t, a, gone)
		s.start(t)
		s.submit(t, a, 1)
		state := func(id string) string {
			list, err := s.clubs.Webhooks(ctx, a)
			for _, w := range list {
				if w.ID == id {
					return w.State
				}
			}
			return fmt.Sprint(err)
		}
		waitFor(t, "the webhook to be disabled", func() bool { return state(w.ID) == club.WebhookDisabled })
		if n := gone.count(); n != 1 {
			t.Errorf("%d attempts at a receiver that is gone", n)
		}
		bad := newReceiver(t, 500)
		w = s.hook(t, a, bad)
		for range 5 { // with three attempts each, more than a row
			if _, err := s.clubs.TestWebhook(ctx, a, w.ID); err != nil {
				t.Fatal(err)
			}
		}
		waitFor(t, "the webhook to be disabled", func() bool { return state(w.ID) == club.WebhookDisabled })
		list, err := s.clubs.Deliveries(ctx, a, w.ID, 10)
		if err != nil || list[0].HTTPStatus == nil || *list[0].HTTPStatus != 500 || !strings.Contains(list[0].Problem, "500") {
			t.Errorf("found %+v, %v", list, err)
		}
		if _, err := s.clubs.PutWebhook(ctx, a, w.ID, bad.url, nil, true); err != nil || state(w.ID) != club.WebhookActive {
			t.Errorf("it cannot be resumed: %v, %s", err, state(w.ID))
		}
	})
}

// Two servers on one PostgreSQL share the work, and each job is done once.
func TestTwoServers(t *testing.T) {
	url := storetest.Postgres(t)
	one, two := serve(t, url), serve(t, url)
	a, r := one.admin(t, "North"), newReceiver(t, 204)
	w := one.hook(t, a, r)
	const messages = 60
	for range messages {
		if _, err := one.clubs.TestWebhook(ctx, a, w.ID); err != nil {
			t.Fatal(err)
		}
	}
	var by [2]atomic.Int64
	one.clubs.Sender, two.clubs.Sender = &counting{one.clubs.Sender, &by[0]}, &counting{two.clubs.Sender, &by[1]}
	one.start(t)
	two.start(t)
	waitFor(t, "all messages", func() bool { return r.count() >= messages })
	time.Sleep(200 * time.Millisecond) // for one done twice
	for id, times := range r.got {
		if times != 1 {
			t.Errorf("message %s was sent %d times", id, times)
		}
	}
	if len(r.got) != messages || by[0].Load() == 0 || by[1].Load() == 0 {
		t.Errorf("%d messages, by the one %d, by the other %d", len(r.got), by[0].Load(), by[1].Load())
	}
}

// counting counts what a server sends, slowly enough for the other to take part.
type counting struct {
	club.Sender
	n *atomic.Int64
}

// Send sends.
func (c *counting) Send(ctx context.Context, address string, secrets []string, id string, at time.Time, body []byte) (int, error) {
	c.n.Add(1)
	time.Sleep(5 * time.Millisecond)
	return c.Sender.Send(ctx, address, secrets, id, at, body)
}

// Migrating from several programs at once makes the tables once.
func TestMigrateAtOnce(t *testing.T) {
	each(t, func(t *testing.T, url string) {
		db, err := sqlstore.Open(ctx, url)
		if err != nil {
			t.Fatal(err)
		}
		defer db.Close()
		if err := db.Migrate(ctx); err != nil {
			t.Fatal(err)
		}
		var wg sync.WaitGroup
		for range 4 {
			wg.Go(func() {
				if err := jobs.Migrate(ctx, db); err != nil {
					t.Error(err)
				}
			})
		}
		wg.Wait()
	})
}
