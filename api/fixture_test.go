package api_test

import (
	"context"
	"errors"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humagin"

	"rootcue/api"
)

// addTrouble adds operations that fail in ways no shipped one should.
func addTrouble(s *api.Server) {
	api.Add(s, api.Route{Method: "GET", Path: "/test/panic", ID: "panic"}, func(context.Context, *api.None) (*api.Answer[string], error) {
		panic("the secret of P-0733")
	})
	api.Add(s, api.Route{Method: "GET", Path: "/test/error", ID: "error"}, func(context.Context, *api.None) (*api.Answer[string], error) {
		return nil, errors.New("the database says: secret of P-0733")
	})
	api.Add(s, api.Route{Method: "GET", Path: "/test/players/{ref}", ID: "player"}, func(_ context.Context, in *struct {
		Ref string `path:"ref"`
	}) (*api.Answer[string], error) {
		return &api.Answer[string]{Body: in.Ref}, nil
	})
}

// addStream adds an operation that fails after its first line went out.
func addStream(s *api.Server) {
	api.Add(s, api.Route{Method: "GET", Path: "/test/stream", ID: "stream"}, func(context.Context, *api.None) (*huma.StreamResponse, error) {
		return &huma.StreamResponse{Body: func(ctx huma.Context) {
			w := humagin.Unwrap(ctx).Writer
			_, _ = w.WriteString("first\n")
			w.Flush()
			panic("half-way")
		}}, nil
	})
}

// A note is a body that huma reads itself.
type note struct {
	Body struct {
		Text  string `json:"text" minLength:"1"`
		Count int    `json:"count,omitempty" minimum:"0"`
	}
}

// addRoles adds an operation for each role, and one that writes.
func addRoles(s *api.Server, write func() error) {
	for role := api.Open; role <= api.Admin; role++ {
		api.Add(s, api.Route{Method: "GET", Path: "/test/role/" + role.String(), ID: "role-" + role.String(), Role: role}, func(ctx context.Context, _ *api.None) (*api.Answer[string], error) {
			p, _ := api.PrincipalOf(ctx)
			return &api.Answer[string]{Body: p.Club + "/" + p.KeyID}, nil
		})
	}
	api.Add(s, api.Route{Method: "POST", Path: "/test/notes", ID: "write-note", Role: api.Submit, Replayable: true}, func(_ context.Context, in *note) (*api.Answer[string], error) {
		if err := write(); err != nil {
			return nil, err
		}
		return &api.Answer[string]{Body: "kept " + in.Body.Text}, nil
	})
}

// testKeys are the keys of two invented clubs.
type testKeys map[string]api.Principal

func (k testKeys) Authenticate(_ context.Context, bearer string) (api.Principal, error) {
	if bearer == "broken" {
		return api.Principal{}, errors.New("the database is gone")
	}
	p, ok := k[bearer]
	if !ok {
		return api.Principal{}, api.ErrBadKey
	}
	return p, nil
}

var keys = testKeys{
	"key-read":   {Club: "harbour", KeyID: "k1", Role: api.Read},
	"key-submit": {Club: "harbour", KeyID: "k2", Role: api.Submit},
	"key-edit":   {Club: "harbour", KeyID: "k3", Role: api.Edit},
	"key-admin":  {Club: "harbour", KeyID: "k4", Role: api.Admin},
	"other":      {Club: "hillside", KeyID: "k5", Role: api.Submit},
}

// memory keeps answers for one test.
type memory struct {
	mu   sync.Mutex
	kept map[string]*api.KeptAnswer
}

func newMemory() *memory { return &memory{kept: map[string]*api.KeptAnswer{}} }

func (m *memory) Begin(_ context.Context, p api.Principal, key, _, hash string, _ time.Duration) (*api.KeptAnswer, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if a := m.kept[p.Club+key]; a != nil {
		return a, nil
	}
	m.kept[p.Club+key] = &api.KeptAnswer{BodyHash: hash, InFlight: true}
	return nil, nil
}

func (m *memory) Finish(_ context.Context, p api.Principal, key, _ string, a api.KeptAnswer) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.kept[p.Club+key] = &a
	return nil
}

func (m *memory) Drop(_ context.Context, p api.Principal, key string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	delete(m.kept, p.Club+key)
	return nil
}

var errTest = errors.New("secret of the test")

// A clock that stands still until it is moved.
type clock struct{ at time.Time }

func (c *clock) now() time.Time { return c.at }
