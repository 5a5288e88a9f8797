package api

import (
	"context"

	"rootcue/internal/club"
	"rootcue/internal/store"
)

func (s *Server) keyRoutes() {
	Add(s, Route{
		Method: "GET", Path: "/v1/keys", ID: "list-keys", Tag: "Access", Summary: "List the club's keys", Role: Admin, Also: []Kind{Unavailable},
		Description: "Oldest first, revoked and expired ones too. A key is recognised by its prefix; the key itself is never shown again.",
	}, s.listKeys)
	Add(s, Route{
		Method: "POST", Path: "/v1/keys", ID: "add-key", Tag: "Access", Summary: "Make a key", Role: Admin, Also: []Kind{Unavailable},
		Description: "The answer holds the key, this once: only its hash is kept. For the same reason no Idempotency-Key is taken here; revoke a key whose answer was lost.",
	}, s.addKey)
	Add(s, Route{
		Method: "DELETE", Path: "/v1/keys/{id}", ID: "revoke-key", Tag: "Access", Summary: "Revoke a key", Role: Admin, Also: []Kind{Unavailable},
		Description: "It opens nothing from now on. To revoke it again changes nothing.",
	}, s.revokeKey)
}

// KeyInfo is a key as it is listed.
type KeyInfo struct {
	ID        string      `json:"id" doc:"Its id; the change log names it as who"`
	Label     string      `json:"label" doc:"What it is for"`
	Prefix    string      `json:"prefix" doc:"How it begins, to tell keys apart"`
	Role      string      `json:"role" enum:"read,submit,edit,admin" doc:"What it may do"`
	CreatedAt store.Time  `json:"created_at" doc:"When it was made"`
	Expires   *store.Time `json:"expires" doc:"From when it opens nothing; null: never"`
	LastUsed  *store.Time `json:"last_used" doc:"When it was last used, to the minute; null: not yet"`
	RevokedAt *store.Time `json:"revoked_at" doc:"When it was revoked; null: it was not"`
}

func keyInfo(k store.Key) KeyInfo {
	return KeyInfo{k.ID, k.Label, k.Prefix, k.Role, k.CreatedAt, k.Expires, k.LastUsed, k.RevokedAt}
}

func (s *Server) listKeys(ctx context.Context, _ *None) (*Answer[Page[KeyInfo]], error) {
	keys, err := s.Clubs.Keys(ctx, actor(ctx))
	list := make([]KeyInfo, len(keys))
	for i, k := range keys {
		list[i] = keyInfo(k)
	}
	return &Answer[Page[KeyInfo]]{Page[KeyInfo]{Items: list}}, err
}

// A KeyWanted says what a new key shall be.
type KeyWanted struct {
	Label   string `json:"label,omitempty" maxLength:"200" doc:"What it is for" example:"club website"`
	Role    string `json:"role" enum:"read,submit,edit,admin" doc:"What it may do"`
	Expires string `json:"expires,omitempty" format:"date" doc:"The last day on which it opens, UTC; without it the key does not expire"`
}

// A KeyMade is a new key.
type KeyMade struct {
	Key string `json:"key" doc:"The key, shown this once"`
	KeyInfo
}

func (s *Server) addKey(ctx context.Context, in *struct{ Body KeyWanted }) (*Answer[KeyMade], error) {
	k, secret, err := s.Clubs.AddKey(ctx, actor(ctx), club.NewKey(in.Body))
	return &Answer[KeyMade]{KeyMade{secret, keyInfo(k)}}, err
}

func (s *Server) revokeKey(ctx context.Context, in *struct {
	ID string `path:"id" format:"uuid" doc:"The key's id" example:"0197a3b1-6f1e-7c41-9a3e-2b7d5c0e4f10"`
}) (*Answer[State], error) {
	return &Answer[State]{State{"ok"}}, s.Clubs.RevokeKey(ctx, actor(ctx), in.ID)
}
