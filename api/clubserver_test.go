package api_test

import (
	"context"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"

	"rootcue/api"
	"rootcue/internal/club"
	"rootcue/internal/store"
	"rootcue/internal/store/sqlstore"
	"rootcue/internal/store/storetest"
)

func TestMain(m *testing.M) { storetest.Main(m) }

// A clubServer is a server that keeps two clubs, with a key of each role for
// either: "read" is of the first club, "other-read" of the second.
type clubServer struct {
	*api.Server
	clubs   *club.Clubs
	secrets map[string]string
}

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
	if err := db.Migrate(ctx); err != nil {
		t.Fatal(err)
	}
	clubs := club.New(db)
	clubs.Jobs = noJobs{}
	shelf := api.ShippedShelf()
	s := &clubServer{api.New(api.Options{Rubrics: shelf, Policies: shelf, Clubs: clubs}), clubs, map[string]string{}}
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

// noJobs takes jobs and forgets them.
type noJobs struct{}

func (noJobs) Reassess(context.Context, store.Tx, string, int, string) (string, error) {
	return store.NewID(), nil
}
func (noJobs) Deliver(context.Context, store.Tx, string) error { return nil }
func (noJobs) Erase(context.Context, store.Tx, string, string) (string, error) {
	return store.NewID(), nil
}
func (noJobs) Job(context.Context, string, string) (club.Job, error) {
	return club.Job{}, store.ErrNotFound
}
func (noJobs) CancelJob(context.Context, string, string) (club.Job, error) {
	return club.Job{}, store.ErrNotFound
}
