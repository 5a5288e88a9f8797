package api_test

import (
	"context"
	"errors"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rootcue/api"
	"rootcue/internal/club"
	"rootcue/internal/jobs"
	"rootcue/internal/store/sqlstore"
	"rootcue/internal/store/storetest"
	"rootcue/internal/webhook"
)

func TestMain(m *testing.M) { storetest.Main(m) }

// A clubServer is a server that keeps two clubs, with a key of each role for
// either: "read" is of the first club, "other-read" of the second.
type clubServer struct {
	*api.Server
	clubs   *club.Clubs
	queue   *jobs.Queue // its jobs are run by tests that start it
	secrets map[string]string
}

// fieldDay is the day on which all tests take place.
var fieldDay = time.Date(2026, 5, 10, 15, 0, 0, 0, time.UTC)

func newClubServer(t testing.TB, url string) *clubServer {
	t.Helper()
	ctx := context.Background()
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
	start := time.Now()
	db.Clock = func() time.Time { return fieldDay.Add(time.Since(start)) }
	clubs := club.New(db)
	clubs.Sender = webhook.New(true, nil)
	queue, err := jobs.New(db, clubs, jobs.Options{Poll: 20 * time.Millisecond, After: []time.Duration{10 * time.Millisecond, 10 * time.Millisecond}})
	if err != nil {
		t.Fatal(err)
	}
	shelf := api.ShippedShelf()
	s := &clubServer{api.New(api.Options{Rubrics: shelf, Policies: shelf, Clubs: clubs}), clubs, queue, map[string]string{}}
	for name, prefix := range map[string]string{"Harbour": "", "Hillside": "other-"} {
		for _, role := range club.Roles {
			_, secret, err := clubs.AddFirstKey(ctx, name, club.NewKey{Label: "for tests", Role: role})
			if err != nil {
				t.Fatal(err)
			}
			s.secrets[prefix+role] = secret
		}
	}
	return s
}

func embeddedServer(t testing.TB) *clubServer {
	t.Helper()
	return newClubServer(t, filepath.Join(t.TempDir(), "club.db"))
}

// ask sends a request with the key of a role, "" for none.
func (s *clubServer) ask(t testing.TB, as, method, target, body string, header ...string) *httptest.ResponseRecorder {
	t.Helper()
	r := httptest.NewRequest(method, target, strings.NewReader(body))
	for i := 0; i < len(header); i += 2 {
		r.Header.Add(header[i], header[i+1])
	}
	if as != "" {
		r.Header.Set("Authorization", "Bearer "+s.secrets[as])
	}
	return send(t, s.Server, r)
}
